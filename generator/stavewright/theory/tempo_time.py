"""Note values and clock time at a steady tempo, exact.

A tempo is a note value and how many of it go to the minute: a quarter at 96. Lengths are Fractions
of a whole note, times are Fractions of a millisecond.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fractions import Fraction

_MINUTE: Final = 60_000


def whole_note_ms(unit: Fraction, per_minute: Fraction) -> Fraction:
    """Give how many milliseconds a whole note lasts; raises ValueError unless both are positive."""
    if unit <= 0 or per_minute <= 0:
        raise ValueError("a tempo counts a note value so many times a minute")
    return _MINUTE / (per_minute * unit)


def milliseconds(length: Fraction, unit: Fraction, per_minute: Fraction) -> Fraction:
    """Give how long a note value lasts: a thirty-second at a quarter to 96 is 78.125 ms."""
    return length * whole_note_ms(unit, per_minute)


def length_of(time: Fraction, unit: Fraction, per_minute: Fraction) -> Fraction:
    """Give the note value that lasts so many milliseconds: the inverse of `milliseconds`."""
    return time / whole_note_ms(unit, per_minute)
