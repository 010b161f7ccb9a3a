"""A bar with one hit, for a place in it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm
from typing import TYPE_CHECKING, Final

from stavewright.articles.worked.pasting import block, value_text
from stavewright.theory.beat_name import BeatPart
from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import split

if TYPE_CHECKING:
    from stavewright.theory.beat_name import BeatName
    from stavewright.theory.meter import Meter

_HIT: Final = "snare"
_SHORTEST: Final = Fraction(1, 256)
_FINEST_SHIFT: Final = 1024
"""Parts of a whole note, as the block language has them."""
_TRIPLET: Final = (BeatPart.TRIP, BeatPart.LET)


def beat_block(place: BeatName, meter: Meter) -> str | None:
    """Show a bar of the metre with a hit at the place; None where no notes show it."""
    try:
        events = [
            event
            for number, length in enumerate(meter.beats, 1)
            for event in (_hit(place, length, meter) if number == place.beat else _rests(length))
        ]
    except TheoryError:
        return None
    return block(("time", str(meter)), ("drums", _written(events)), ("show", "staff grid"))


@dataclass(frozen=True, slots=True)
class _Event:
    """A word with the value before it; a group has its values inside and restores the outer one."""

    length: Fraction | None
    word: str


def _written(events: list[_Event]) -> str:
    """Write each value where it changes."""
    words = []
    current = None
    for event in events:
        if event.length is not None and event.length != current:
            words.append(value_text(event.length))
            current = event.length
        words.append(event.word)
    return " ".join(words)


def _rests(length: Fraction) -> list[_Event]:
    return [_Event(_long(shape.length), "rest") for shape in split(length)] if length else []


def _long(length: Fraction) -> Fraction:
    if length < _SHORTEST:
        raise TheoryError("Too short for a note", str(length))
    return length


def _hit(place: BeatName, length: Fraction, meter: Meter) -> list[_Event]:
    """Give a beat with the hit in it, as long as the part that is counted.

    A hit off its place is as short as may be, so that the shift shows.
    """
    hit = _HIT
    if place.offset:
        if place.offset.denominator > _FINEST_SHIFT:
            raise TheoryError("Too small for a shift", str(place.offset))
        hit += f"@{'+' if place.offset > 0 else '-'}{value_text(abs(place.offset))}"
    if place.part in _TRIPLET:
        notes = [hit if part is place.part else "rest" for part in (BeatPart.BEAT, *_TRIPLET)]
        return [_Event(None, f"3:2({value_text(_long(length / 2))} {' '.join(notes)})")]
    before = place.part.share * length
    cell = _common(before, length)
    if place.offset or len(split(cell)) > 1:
        cell = length / (6 if length * meter.unit == 3 else 4)
    return [*_rests(before), _Event(_long(cell), hit), *_rests(length - before - cell)]


def _common(one: Fraction, other: Fraction) -> Fraction:
    """The longest value that both are a whole number of."""
    below = lcm(one.denominator, other.denominator)
    return Fraction(gcd(int(one * below), int(other * below)), below)
