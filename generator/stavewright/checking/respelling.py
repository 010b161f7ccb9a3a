"""Other names of the same sound."""

from collections.abc import Iterator

from stavewright.theory.pitch import Letter, Pitch, PitchName

_MOST_ALTERED = 200
"""Cents; a double accidental."""


def other_names(name: PitchName) -> Iterator[PitchName]:
    """Other names of the same sound, plainest first: B# for C, and D double flat."""
    found = []
    for letter in Letter:
        altered = (name.cents - letter.cents + 600) % 1200 - 600
        if letter is not name.letter and abs(altered) <= _MOST_ALTERED:
            found.append(PitchName(letter, altered))
    yield from sorted(found, key=lambda each: abs(each.cents_altered))


def respelled(pitch: Pitch, name: PitchName) -> Pitch | None:
    """The same sound under another name, in the octave that its letter asks for."""
    octaves = (pitch.octave + shift for shift in (0, 1, -1))
    return next((p for p in map(name.at, octaves) if p.sounds_like(pitch)), None)
