"""Trills, turns and mordents, as they are played.

Schools and centuries differ, and a block names none. What is done here is today's common practice
(no source): a trill begins on the written note, which falls on the beat, and ends on it; a turn
begins above; a mordent goes down and back. The neighbors are those of the key that holds. The
notes are quick: the first halving of a quarter that lasts a tenth of a second or less.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from fractions import Fraction
from typing import Final

from stavewright.figures.timeline import TempoMap
from stavewright.notation.score import Drum, Event, EventMark, Head
from stavewright.theory import Key, Pitch
from stavewright.theory.pitch import Letter

_QUICK: Final = Fraction(1, 10)
"""Seconds that a note of an ornament lasts at most."""
_QUARTER: Final = Fraction(1, 4)
_LEAST, _MOST = 50, 250
"""Cents between which a neighbor lies: nearer it would be the same key, further no step."""


class Side(IntEnum):
    """Which of the three notes of an ornament."""

    LOWER = -1
    WRITTEN = 0
    UPPER = 1


_TURN: Final = (Side.UPPER, Side.WRITTEN, Side.LOWER, Side.WRITTEN)
_MORDENT: Final = (Side.WRITTEN, Side.LOWER, Side.WRITTEN)


@dataclass(frozen=True, slots=True)
class Part:
    """One note of an ornament."""

    side: Side
    start: Fraction
    """Whole notes from the beginning of the page."""
    length: Fraction


def ornament_of(event: Event, head: Head) -> EventMark | None:
    """The ornament that a head plays: the highest of its event alone, and of percussion a roll."""
    if head.sound != max((other.sound for other in event.heads), key=_height):
        return None
    known = (EventMark.TRILL, EventMark.TURN, EventMark.MORDENT)
    mark = next((mark for mark in known if mark in event.marks), None)
    return None if isinstance(head.sound, Drum) and mark is not EventMark.TRILL else mark


def parts_of(
    mark: EventMark, start: Fraction, length: Fraction, tempos: TempoMap
) -> Iterator[Part]:
    """The notes of an ornament, without a gap from `start` on, ending on the written one."""
    step = quick_note(start, tempos)
    if mark is EventMark.TRILL:
        count = max(3, int(length / step))
        sides = tuple(Side(place % 2) for place in range(count - 1 + count % 2))
    else:
        sides = _TURN if mark is EventMark.TURN else _MORDENT
    step = min(step, length / len(sides))
    for side in sides[:-1]:
        yield Part(side, start, step)
        start += step
    yield Part(sides[-1], start, length - (len(sides) - 1) * step)


def quick_note(at: Fraction, tempos: TempoMap) -> Fraction:
    """The longest of an eighth, a sixteenth … that lasts no more than a tenth of a second."""
    value = _QUARTER / 2
    most = tempos.whole_notes(at, _QUICK)
    while value > most:
        value /= 2
    return value


def neighbor(sound: Pitch | Drum, side: Side, key: Key | None) -> Pitch | Drum:
    """The written sound itself, or the next step of the key above or below it."""
    if side is Side.WRITTEN or isinstance(sound, Drum):
        return sound
    letters = tuple(Letter)
    place = sound.letter.place + side
    letter = letters[place % len(letters)]
    octave = sound.octave + place // len(letters)
    signature = {name.letter: name.cents_altered for name in key.signature_names} if key else {}
    beside = Pitch(letter, signature.get(letter, 0), octave)
    distance = side * (beside.cents - sound.cents)
    if distance <= _LEAST:
        return Pitch(letter, beside.cents_altered + side * 100, octave)
    if distance >= _MOST:
        return Pitch(letter, beside.cents_altered - side * 100, octave)
    return beside


def _height(sound: Pitch | Drum) -> float:
    return sound.key_number
