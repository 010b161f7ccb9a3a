"""Chords: what a chord symbol means, tone by tone.

A chord is its tones, spelled and counted from the root, and its bass. Two symbols that ask for the
same tones over the same bass are equal: `C-7` and `Cm7` are one chord, `C6` and `Am7/C` are not,
for their roots differ. How the symbol was written is kept beside the meaning, not in it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from stavewright.theory.chord_meaning import meaning_of
from stavewright.theory.chord_parts import ChordParts, split_parts, split_written
from stavewright.theory.chord_respelling import respelled
from stavewright.theory.chord_suffix import Suffix, read_suffix
from stavewright.theory.chord_table import Change
from stavewright.theory.chord_text import read_symbol, split_polychord
from stavewright.theory.chord_tone import (
    ChordTone,
    Place,
    Redundancy,
    Role,
    VoicingRule,
    degree_interval,
    degree_of,
    read_degree,
)
from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stavewright.theory.key import Key
    from stavewright.theory.pitch import Pitch, PitchName

_OCTAVE: Final = Interval(7, 1200)


@dataclass(frozen=True, slots=True)
class Chord:
    """A chord as a symbol or a numeral names it."""

    root: PitchName | None
    """None for an augmented sixth, on whose root no two schools agree."""
    bass: PitchName
    """The lowest sounding note: the root unless a slash or an inversion says otherwise."""
    tones: tuple[ChordTone, ...]
    """In chord order, root first. A foreign bass is not among them."""
    symbol: str = field(compare=False)
    """The symbol as we print it, whatever synonym was written; a label without a root."""
    quality: str = field(compare=False)
    """`half-diminished seventh`, `major triad with added ninth`."""
    parts: ChordParts = field(compare=False)
    """The symbol taken apart for typesetting."""
    text: str = field(default="", compare=False)
    """The symbol as it was written."""
    suffix: str = field(default="", compare=False)
    """What stands after the root in `symbol`, without the bass."""
    redundancies: tuple[Redundancy, ...] = field(default=(), compare=False)
    """What the symbol says twice or in vain."""
    voicing_rules: tuple[VoicingRule, ...] = ()
    """Where added tones must lie, if the symbol cares."""
    upper: Chord | None = None
    """The upper chord of a polychord; the tones are those of both."""

    @classmethod
    def parse(cls, text: str) -> Chord:
        """Read a chord symbol: `Am7`, `F#m7b5/A`, `C6/9`, `(D)/(C7)`.

        Raises TheoryError with the place and, where one is near, a suggestion. `chord_table` lists
        every suffix that is read.
        """
        return _parse(text)

    @classmethod
    def on(cls, root: PitchName, suffix: str, bass: PitchName | None = None) -> Chord:
        """Build the chord that a suffix names on a root, over a bass if one is given.

        Raises TheoryError for a suffix that is not in the table or contradicts itself.
        """
        return _build(root, read_suffix(suffix), bass, "")

    @property
    def names(self) -> tuple[PitchName, ...]:
        """The tones' names in chord order, root first."""
        return tuple(tone.name for tone in self.tones)

    @property
    def spelling(self) -> tuple[str, ...]:
        """The tones spelled in chord order, root first: F9 is F A C Eb G."""
        return tuple(name.spelled for name in self.names)

    @property
    def degrees(self) -> tuple[str, ...]:
        """The tones counted against the major scale on the root: `1 b3 b5 b7`."""
        return tuple(tone.degree for tone in self.tones)

    @property
    def names_from_bass(self) -> tuple[PitchName, ...]:
        """Every name that sounds, the bass first, then upwards in chord order."""
        names = self.names
        if self.bass not in names:
            return (self.bass, *names)
        at = names.index(self.bass)
        return names[at:] + names[:at]

    @property
    def from_bass(self) -> tuple[str, ...]:
        """The names spelled, bass first: C/E is E G C, C/D is D C E G."""
        return tuple(name.spelled for name in self.names_from_bass)

    @property
    def written_parts(self) -> ChordParts:
        """The symbol as its author wrote it, taken apart: `Eø7`, where `parts` has `Em7b5`."""
        halves = split_polychord(self.text)
        if halves is not None:
            upper, _, lower, _ = halves
            return Chord.parse(lower).written_parts.under(Chord.parse(upper).written_parts)
        if self.root is None or not self.text:
            return self.parts
        read = read_symbol(self.text)
        return split_written(read.root, self.text[read.suffix_start : read.suffix_end], read.bass)

    @property
    def required(self) -> tuple[ChordTone, ...]:
        """The tones without which it would be another chord."""
        return tuple(tone for tone in self.tones if tone.is_required)

    @property
    def is_inverted(self) -> bool:
        """Whether a chord tone other than the root lies in the bass."""
        return self.bass != self.root and self.bass in self.names

    @property
    def has_foreign_bass(self) -> bool:
        """Whether the bass is no tone of the chord, as in C/D."""
        return self.bass not in self.names

    def tone(self, name: PitchName) -> ChordTone | None:
        """Give the tone of that name, or None."""
        return next((tone for tone in self.tones if tone.name == name), None)

    def tone_numbered(self, *numbers: int) -> ChordTone | None:
        """Give the first tone with one of these degree numbers: `tone_numbered(3)` is the third."""
        return next((tone for tone in self.tones if tone.number in numbers), None)

    def over(self, bass: PitchName) -> Chord:
        """Give the same chord over another bass."""
        if self.root is None or self.upper is not None:
            raise TheoryError(f"{self.symbol} stands on a bass of its own", self.symbol)
        return Chord.on(self.root, self.suffix, bass)

    def transposed(self, interval: Interval) -> Chord:
        """Give the chord moved by an interval, letter for letter."""
        if self.root is None:
            raise TheoryError(
                f"{self.symbol} is named from its key; move the key instead", self.symbol
            )
        if self.upper is not None:
            lower = Chord.on(self.root, self.suffix).transposed(interval)
            upper = self.upper.transposed(interval)
            return Chord.parse(f"({upper.symbol})/({lower.symbol})")
        return Chord.on(self.root + interval, self.suffix, self.bass + interval)

    def respelled(self, key: Key) -> Chord:
        """Give the same sound as the key would write it: D#m7 in Gb major is Ebm7.

        See `chord_respelling` for what decides. The halves of a polychord are spelled each by
        itself.
        """
        if self.upper is None or self.root is None:
            return respelled(self, key)
        lower = respelled(Chord.on(self.root, self.suffix, self.bass), key)
        return Chord.parse(f"({self.upper.respelled(key)})/({lower})")

    @property
    def plain(self) -> Chord:
        """The same tones by a symbol that says nothing twice: Edim7 for Edim7b5."""
        chord = self
        while chord.redundancies:
            chord = Chord.parse(chord.redundancies[0].suggestion)
        return chord

    def broken_voicing_rules(self, pitches: Iterable[Pitch]) -> tuple[VoicingRule, ...]:
        """Give the demands on spacing that these sounding pitches do not meet."""
        sounding = tuple(pitches)
        return tuple(rule for rule in self.voicing_rules if not rule.holds_for(sounding))

    def __str__(self) -> str:
        return self.symbol


# A site writes the same few chords again and again.
@lru_cache(maxsize=512)
def _parse(text: str) -> Chord:
    halves = split_polychord(text)
    if halves is not None:
        return _polychord(text, *halves)
    read = read_symbol(text)
    try:
        return _build(read.root, read.suffix, read.bass, text)
    except TheoryError as error:
        start, end = read.suffix_start, read.suffix_end
        raise TheoryError(error.message, text, start, end, error.suggestion) from None


def _build(root: PitchName, suffix: Suffix, bass: PitchName | None, text: str) -> Chord:
    """Put a root, a suffix and a bass together."""
    meaning = meaning_of(suffix)
    tones = tuple(
        ChordTone(d, read_degree(d)[0], degree_interval(d), root + degree_interval(d), role)
        for d, role in meaning.degrees
    )
    slash = f"/{bass.spelled}" if bass is not None and bass != root else ""
    symbol = root.spelled + suffix.canonical + slash
    return Chord(
        root=root,
        bass=bass or root,
        tones=tones,
        symbol=symbol,
        quality=suffix.words,
        parts=split_parts(root, suffix.canonical, bass if slash else None),
        text=text or symbol,
        suffix=suffix.canonical,
        redundancies=tuple(
            Redundancy(s.what, s.meaning, root.spelled + s.remaining + slash)
            for s in meaning.surplus
        ),
        voicing_rules=_voicing_rules(root, suffix, slash),
    )


def _voicing_rules(root: PitchName, suffix: Suffix, slash: str) -> tuple[VoicingRule, ...]:
    """Demand a place for each added second, fourth, ninth, eleventh and thirteenth.

    Only over a triad: beside a seventh the trade writes add9, add11 and add13 without meaning an
    octave (common practice, no source).
    """
    if any(degree in suffix.core.degrees for degree in ("6", "b7", "7", "bb7")):
        return ()
    rules = []
    for piece in suffix.pieces:
        degree = piece.modifier.degrees[0]
        number, _ = read_degree(degree)
        if piece.modifier.change is not Change.ADD or number in (3, 6):
            continue
        place = Place.ABOVE_THE_OCTAVE if number > 7 else Place.WITHIN_THE_OCTAVE
        other = number - 7 if number > 7 else number + 7
        sign = degree.removesuffix(str(number))
        otherwise = suffix.canonical.replace(f"add{degree}", f"add{sign}{other}")
        rules.append(
            VoicingRule(
                root + degree_interval(degree), root, place, root.spelled + otherwise + slash
            )
        )
    return tuple(rules)


def _polychord(text: str, upper: str, upper_at: int, lower: str, lower_at: int) -> Chord:
    """Read one chord over another; the tones of the lower come first."""
    try:
        above = Chord.parse(upper)
    except TheoryError as error:
        raise error.within(text, upper_at) from None
    try:
        below = Chord.parse(lower)
    except TheoryError as error:
        raise error.within(text, lower_at) from None
    if below.upper is not None or above.upper is not None:
        raise TheoryError("A polychord is one chord over another, not three", text)
    root = below.root
    if root is None or above.root is None:  # pragma: no cover - every symbol has a root
        raise TheoryError("Both chords of a polychord have a root", text)
    added = tuple(_upper_tone(root, tone) for tone in above.tones if tone.name not in below.names)
    symbol = f"({above.symbol})/({below.symbol})"
    return Chord(
        root=root,
        bass=below.bass,
        tones=below.tones + added,
        symbol=symbol,
        quality=f"{below.quality} under {above.root.spelled} {above.quality}",
        parts=below.parts.under(above.parts),
        text=text,
        suffix=below.suffix,
        redundancies=above.redundancies + below.redundancies,
        voicing_rules=below.voicing_rules,
        upper=above,
    )


def _upper_tone(root: PitchName, tone: ChordTone) -> ChordTone:
    """Count a tone of the upper chord from the lower root, above the octave where usual."""
    interval = root.interval_to(tone.name)
    if interval.number in (2, 4, 6):
        interval = interval + _OCTAVE
    role = Role.REQUIRED if tone.is_required else Role.OPTIONAL
    return ChordTone(degree_of(interval), interval.number, interval, tone.name, role)
