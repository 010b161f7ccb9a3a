"""Places in the bar as players count them: `the uh of one`, `the and of two`, `the li of two`.

Counting, as bands and drum teachers in North America do it (common practice; the threefold
syllables are those of the Eastman system, the others are older than any system):

- a beat that divides in two: one **e and uh**; its triplet is one **trip let**;
- a beat of three units, in 6/8 or in the long beat of 2+2+3/8: one **la li**, and between them the
  **ta**: one ta la ta li ta.

What lies between such places is counted from the nearest one: `a thirty-second before the and of
two`. Positions are Fractions of a whole note from the bar's start. All that is printed is read.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from stavewright.theory.beat_text import read_place
from stavewright.theory.errors import TheoryError
from stavewright.theory.length_words import length_phrase
from stavewright.theory.number_words import number_words

if TYPE_CHECKING:
    from stavewright.theory.meter import Meter


class BeatPart(Enum):
    """A counted part of a beat; the value is how it is said."""

    BEAT = ""
    E = "e"
    AND = "and"
    UH = "uh"
    TRIP = "trip"
    LET = "let"
    LA = "la"
    LI = "li"
    TA = "ta"
    SECOND_TA = "second ta"
    THIRD_TA = "third ta"

    @property
    def share(self) -> Fraction:
        """Where it falls in its beat, from 0 to 1."""
        return _SHARES[self]


_TWOFOLD: Final = {
    BeatPart.BEAT: Fraction(0),
    BeatPart.E: Fraction(1, 4),
    BeatPart.AND: Fraction(1, 2),
    BeatPart.UH: Fraction(3, 4),
}
_TRIPLET: Final = {
    BeatPart.BEAT: Fraction(0),
    BeatPart.TRIP: Fraction(1, 3),
    BeatPart.LET: Fraction(2, 3),
}
_THREEFOLD: Final = {
    BeatPart.BEAT: Fraction(0),
    BeatPart.TA: Fraction(1, 6),
    BeatPart.LA: Fraction(1, 3),
    BeatPart.SECOND_TA: Fraction(1, 2),
    BeatPart.LI: Fraction(2, 3),
    BeatPart.THIRD_TA: Fraction(5, 6),
}
_SHARES: Final = _TWOFOLD | _TRIPLET | _THREEFOLD


@dataclass(frozen=True, slots=True)
class BeatName:
    """A counted place: a beat, a part of it, and how far off that place a sound lies."""

    beat: int
    """Counted from 1."""
    part: BeatPart = BeatPart.BEAT
    offset: Fraction = Fraction(0)
    """A part of a whole note: late is positive, early negative, 0 on the place itself."""

    def __post_init__(self) -> None:
        if self.beat < 1:
            raise ValueError(f"beats are counted from one, not {self.beat}")

    @classmethod
    def at(cls, position: Fraction, meter: Meter, *, by_units: bool = False) -> BeatName:
        """Name a position from the bar's start.

        `by_units` counts the metre's units in place of its beats: 6/8 in six. Raises TheoryError
        for a position outside the bar.
        """
        if not 0 <= position < meter.length:
            message = f"A bar of {meter.figures} runs from 0 to {meter.length}; this lies outside"
            raise TheoryError(message, str(position))
        beats = _beats(meter, by_units)
        index = max(i for i, (start, _) in enumerate(beats) if start <= position)
        start, length = beats[index]
        share = (position - start) / length
        part = min(_grid(share, _is_threefold(length, meter)), key=lambda p: _nearness(p, share))
        return cls(index + 1, part, (share - part.share) * length)

    @classmethod
    def parse(cls, text: str, whole_note_ms: Fraction | None = None) -> BeatName:
        """Read `the uh of one`, `2 and`, `1/32 before the and of two`, `12 ms after one`.

        `whole_note_ms`, the length of a whole note in milliseconds, is what milliseconds are turned
        into note values by; see `tempo_time`. Raises TheoryError with a place.
        """
        place = read_place(text, whole_note_ms)
        return cls(place.beat, BeatPart(place.part), place.offset)

    def position(self, meter: Meter, *, by_units: bool = False) -> Fraction:
        """Give the position from the bar's start; the inverse of `at`.

        Raises TheoryError where the metre has no such beat or counts its parts by other words. An
        early one lies before the bar and is negative.
        """
        beats = _beats(meter, by_units)
        if self.beat > len(beats):
            count = "one beat" if len(beats) == 1 else f"{number_words(len(beats))} beats"
            raise TheoryError(f"A bar of {meter.figures} has {count}", self.words)
        start, length = beats[self.beat - 1]
        if _is_threefold(length, meter) and self.part in (BeatPart.E, BeatPart.AND, BeatPart.UH):
            raise TheoryError(
                f"In {meter.figures} that beat has three parts, counted {number_words(self.beat)} "
                "la li",
                self.words,
            )
        return start + self.part.share * length + self.offset

    @property
    def place(self) -> str:
        """The counted place without what it is off by: `one`, `the uh of one`."""
        number = number_words(self.beat)
        return f"the {self.part.value} of {number}" if self.part.value else number

    @property
    def words(self) -> str:
        """The place in words: `the uh of one`, `a thirty-second before the and of two`."""
        if not self.offset:
            return self.place
        side = "after" if self.offset > 0 else "before"
        return f"{length_phrase(abs(self.offset))} {side} {self.place}"

    def words_in_ms(self, whole_note_ms: Fraction) -> str:
        """The place in words, what it is off by in milliseconds: `12 ms after the and of two`.

        Rounded to a tenth of a millisecond.
        """
        if not self.offset:
            return self.place
        tenths = round(abs(self.offset) * whole_note_ms * 10)
        side = "after" if self.offset > 0 else "before"
        return f"{tenths / 10:g} ms {side} {self.place}"

    def __str__(self) -> str:
        return self.words


def _beats(meter: Meter, by_units: bool) -> list[tuple[Fraction, Fraction]]:
    """Give where each beat starts and how long it lasts."""
    if by_units:
        unit = Fraction(1, meter.unit)
        return [(at * unit, unit) for at in range(sum(meter.groups))]
    return list(zip(meter.beat_starts, meter.beats, strict=True))


def _is_threefold(beat: Fraction, meter: Meter) -> bool:
    return beat * meter.unit == 3


def _grid(share: Fraction, threefold: bool) -> tuple[BeatPart, ...]:
    """Give the parts that a place is counted from, by the division it belongs to."""
    if threefold:
        return tuple(_THREEFOLD)
    return tuple(_TRIPLET if share.denominator % 3 == 0 else _TWOFOLD)


def _nearness(part: BeatPart, share: Fraction) -> tuple[Fraction, Fraction]:
    """Order parts by distance; of two that are as near the earlier, as one counts forwards."""
    return abs(share - part.share), part.share
