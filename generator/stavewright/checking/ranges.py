"""How low and how high voices and instruments sound.

Sounding pitch, as scores in this language are written. Choral ranges are those asked of good
amateurs, instruments those of capable players; extremes that orchestration books give only for
soloists are left out (common practice, no single source).
"""

from dataclasses import dataclass

from stavewright.theory.pitch import Pitch


@dataclass(frozen=True, slots=True)
class Range:
    """From the lowest to the highest pitch, both included."""

    lowest: Pitch
    highest: Pitch

    def __str__(self) -> str:
        return f"{self.lowest} to {self.highest}"


_CHORAL = """
soprano        B3 C6
mezzo-soprano  A3 A5
alto           E3 F5
tenor          B2 C5
baritone       F2 G4
bass           D2 F4
"""
_INSTRUMENTS = """
piccolo              D5  C8
flute                B3  D7
alto-flute           G3  G6
oboe                 Bb3 A6
english-horn         E3  C6
clarinet             C#3 C7
bass-clarinet        Bb1 G5
bassoon              Bb1 E5
contrabassoon        Bb0 A3
soprano-saxophone    Ab3 Eb6
alto-saxophone       Db3 Bb5
tenor-saxophone      Ab2 Eb5
baritone-saxophone   C2  Bb4
horn                 F#1 F5
trumpet              E3  Eb6
cornet               E3  C6
flugelhorn           E3  Bb5
trombone             E1  F5
bass-trombone        Bb0 Bb4
euphonium            Bb1 C5
tuba                 D1  F4
violin               G3  E7
viola                C3  E6
cello                C2  C6
double-bass          C1  C5
harp                 Cb1 G#7
guitar               C2  E6
bass-guitar          B0  G4
ukulele              G3  A5
mandolin             G3  A6
piano                A0  C8
celesta              C4  C8
glockenspiel         F5  E8
xylophone            F4  C8
vibraphone           F3  F6
marimba              C2  C7
timpani              C2  C4
descant-recorder     C5  D7
treble-recorder      F4  G6
"""


def _table(text: str) -> dict[str, Range]:
    rows = (line.split() for line in text.strip().splitlines())
    return {name: Range(Pitch.parse(low), Pitch.parse(high)) for name, low, high in rows}


CHORAL_RANGES = _table(_CHORAL)
"""By voice; `bass` is a singer only where the block is for singers."""
INSTRUMENT_RANGES = _table(_INSTRUMENTS)
"""By the instrument's name as a voice is called, kebab case."""
