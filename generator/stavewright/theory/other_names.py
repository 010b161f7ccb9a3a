"""Other names of the same sound: B sharp for C, and D double flat."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from stavewright.theory.pitch import Letter, Pitch, PitchName

if TYPE_CHECKING:
    from collections.abc import Iterator

_MOST_ALTERED: Final = 200
"""Cents; a double accidental."""


def other_names(name: PitchName) -> Iterator[PitchName]:
    """Give the other names of a sound up to double accidentals, plainest first."""
    found = []
    for letter in Letter:
        altered = (name.cents - letter.cents + 600) % 1200 - 600
        if letter is not name.letter and abs(altered) <= _MOST_ALTERED:
            found.append(PitchName(letter, altered))
    yield from sorted(found, key=lambda each: abs(each.cents_altered))


def respelled(pitch: Pitch, name: PitchName) -> Pitch | None:
    """Give the same sound under another name, in its letter's octave; None for another sound."""
    octaves = (pitch.octave + shift for shift in (0, 1, -1))
    return next((p for p in map(name.at, octaves) if p.sounds_like(pitch)), None)
