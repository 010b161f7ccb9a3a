"""Respelling a whole chord symbol to a key: D#m7 among six flats is Ebm7."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from stavewright.theory.chord_tone import degree_interval
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key, Mode

if TYPE_CHECKING:
    from stavewright.theory.chord import Chord
    from stavewright.theory.pitch import PitchName

_SAME_SOUND: Final = tuple(Interval(letters, 0) for letters in range(-4, 5))
"""To every one of the seven letters without moving the sound, up or down."""


def respelled(chord: Chord, key: Key) -> Chord:
    """Write a chord's sound as the key would: root, tones and bass on the letters that suit it.

    That is the spelling with most of its tones in the key (in minor with its raised sixth and
    seventh); among equals the one as it stands, then the one with fewer accidentals. A root with a
    double sharp or flat is taken only where the key itself has that note, for no one reads Bbb7
    easily. A foreign bass is spelled by the key on its own. An augmented sixth, which has no
    root, is spelled from its key already and comes back as it is. Not for a polychord, whose halves
    are spelled each by itself.
    """
    if chord.root is None:
        return chord
    home = _home(key)
    ways = [chord.transposed(letters) for letters in _SAME_SOUND]
    legible = [way for way in ways if way == chord or _is_legible(way, home)]
    best = min(legible, key=lambda way: _cost(way, chord, home))
    if not best.has_foreign_bass:
        return best
    return best.over(_bass(chord.bass, home))


def _home(key: Key) -> frozenset[PitchName]:
    raised = ("6", "7") if key.mode is Mode.MINOR else ()
    return frozenset((*key.names, *(key.tonic + degree_interval(degree) for degree in raised)))


def _is_legible(chord: Chord, home: frozenset[PitchName]) -> bool:
    root = chord.root
    return root is not None and (abs(root.accidentals) < 2 or root in home)


def _cost(chord: Chord, written: Chord, home: frozenset[PitchName]) -> tuple[int, bool, int]:
    outside = sum(name not in home for name in chord.names)
    return outside, chord != written, sum(abs(name.accidentals) for name in chord.names)


def _bass(bass: PitchName, home: frozenset[PitchName]) -> PitchName:
    """Spell a foreign bass: as the key does if it has the note, else as it stands if legible."""
    ways = [bass + letters for letters in _SAME_SOUND]
    return min(ways, key=lambda name: (name not in home, abs(name.accidentals) > 1, name != bass))
