"""Finding the chords that a set of names only sounds like, spelled otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from stavewright.theory.chord import Chord
from stavewright.theory.naming_match import Match, Shape, shapes, strain_of
from stavewright.theory.pitch import PitchName

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_FIFTH: Final = 700
"""Cents of the fifth, the one tone that a respelled chord may lack."""


def respelled(names: Sequence[PitchName]) -> Iterator[Match]:
    """Find the chords that only sound like the notes, each on its plainest root."""
    sounds = frozenset(name.cents for name in names)
    if len(sounds) > 2:
        yield from _respelled(names, sounds, absent=frozenset())


def respelled_without_fifth(names: Sequence[PitchName]) -> Iterator[Match]:
    """Find the seventh chords without their fifth that the notes only sound like.

    For notes that have no other name: C E Bb Eb, as C7#9 is often written.
    """
    sounds = frozenset(name.cents for name in names)
    if len(sounds) > 3:
        yield from _respelled(names, sounds, absent=frozenset((_FIFTH,)))


def _respelled(
    names: Sequence[PitchName], sounds: frozenset[int], absent: frozenset[int]
) -> Iterator[Match]:
    for cents in sorted(sounds):
        above = {(each - cents) % 1200 for each in sounds} | absent
        for plainness, shape in enumerate(shapes()):
            # Where two tones of a shape sound alike it is never the plainest name.
            is_whole = len(shape.tones) == len(shape.sounds)
            if shape.sounds != above or not is_whole or "add" in shape.suffix:
                continue
            if absent and not shape.has_seventh:
                continue
            match = _plainest(cents, shape, names, plainness)
            if match.changed:
                yield match


def _plainest(cents: int, shape: Shape, names: Sequence[PitchName], plainness: int) -> Match:
    """Spell a shape that the notes sound like on the plainest of its roots."""
    roots = (PitchName.from_fifths(fifths) for fifths in range(-8, 11))
    chords = (Chord.on(root, shape.suffix) for root in roots if root.cents == cents)
    return min((_match(chord, names, plainness) for chord in chords), key=_spelling_cost)


def _match(chord: Chord, names: Sequence[PitchName], plainness: int) -> Match:
    heard = {name.cents for name in names}
    missing = tuple(name for name in chord.names if name.cents not in heard)
    bass = next(name for name in chord.names if name.cents == names[0].cents)
    changed = len(set(chord.names) - set(names) - set(missing))
    over = chord if bass == chord.root else chord.over(bass)
    return Match(over, missing, changed, 10 + strain_of(over, missing) + changed, plainness)


def _spelling_cost(match: Match) -> tuple[int, int]:
    """Accidentals first: a respelling that no one could read helps no one."""
    signs = sum(abs(name.accidentals) for name in match.chord.names)
    doubles = sum(abs(name.accidentals) > 1 for name in match.chord.names)
    return (match.changed + 3 * doubles, signs)
