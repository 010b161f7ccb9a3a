"""Note values: which lengths one written note can show, and how others are tied together.

Lengths are Fractions of a whole note. One note shows a power of two, from the breve (2) to the
two-hundred-fifty-sixth, and up to three dots, of which each adds half of what came before.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.theory.errors import TheoryError

MOST_DOTS: Final = 3
_BASE_NAMES: Final = {
    Fraction(2): "breve",
    Fraction(1): "whole",
    Fraction(1, 2): "half",
    Fraction(1, 4): "quarter",
    Fraction(1, 8): "eighth",
    Fraction(1, 16): "sixteenth",
    Fraction(1, 32): "thirty-second",
    Fraction(1, 64): "sixty-fourth",
    Fraction(1, 128): "hundred-twenty-eighth",
    Fraction(1, 256): "two-hundred-fifty-sixth",
}
_DOTTED: Final = ("", "dotted ", "double dotted ", "triple dotted ")
_FRACTION: Final = re.compile(r"\s*(?P<top>[0-9]{1,6})(?:\s*/\s*(?P<bottom>[0-9]{1,6}))?\s*")


@dataclass(frozen=True, slots=True)
class NoteValue:
    """The shape of one written note: its undotted value and its dots. Longer is greater."""

    base: Fraction
    """Undotted value as a part of a whole note: a power of two from 2 to 1/256."""
    dots: int = 0
    """0 to 3."""

    def __post_init__(self) -> None:
        if self.base not in _BASE_NAMES or not 0 <= self.dots <= MOST_DOTS:
            raise ValueError(f"no note is written as {self.base} with {self.dots} dots")

    @classmethod
    def from_length(cls, length: Fraction) -> NoteValue:
        """Give the shape that lasts `length`; raises TheoryError that says what to tie instead."""
        # Looked up by its two numbers: a Fraction takes longer to hash than all the rest.
        shape = _SHAPES.get((length.numerator, length.denominator))
        if shape is None:
            raise TheoryError(_no_shape(length), str(length))
        return shape

    @classmethod
    def parse(cls, text: str) -> NoteValue:
        """Read `3/8` as a dotted quarter, `1` as a whole; raises TheoryError."""
        length = parse_length(text)
        shape = _SHAPES.get((length.numerator, length.denominator))
        if shape is None:
            raise TheoryError(_no_shape(length), text)
        return shape

    @property
    def length(self) -> Fraction:
        """Length as a part of a whole note, dots included."""
        return self.base * (2 - Fraction(1, 2**self.dots))

    @property
    def name(self) -> str:
        """The trade name: `dotted quarter`, `breve`."""
        return _DOTTED[self.dots] + _BASE_NAMES[self.base]

    def __lt__(self, other: NoteValue) -> bool:
        if not isinstance(other, NoteValue):
            return NotImplemented
        return self.length < other.length

    def __str__(self) -> str:
        return str(self.length)


_SHAPES: Final = {
    (shape.length.numerator, shape.length.denominator): shape
    for shape in (NoteValue(base, dots) for base in _BASE_NAMES for dots in range(MOST_DOTS + 1))
}
_LONGEST_FIRST: Final = tuple(sorted(_SHAPES.values(), reverse=True))
_SHAPES_END: Final = Fraction(7, 2)
"""The double dotted breve."""
_LONGEST_TIE: Final = 32
"""Sixteen breves; more is surely a slip."""


def parse_length(text: str) -> Fraction:
    """Read a part of a whole note, `3/8` or `1`, as an exact positive number."""
    match = _FRACTION.fullmatch(text)
    if match is None:
        raise TheoryError("A note value is a part of a whole note, such as 1/4 or 3/8", text)
    bottom = int(match["bottom"] or 1)
    if bottom == 0 or int(match["top"]) == 0:
        raise TheoryError("A note lasts longer than nothing and shorter than for ever", text)
    return Fraction(int(match["top"]), bottom)


def split(length: Fraction, most_dots: int = 2) -> tuple[NoteValue, ...]:
    """Write a length as notes to be tied, the longest first: 5/8 as a half and an eighth.

    Raises TheoryError where no ties help: for a length that needs a group in another ratio (1/12),
    is shorter than any note, or is longer than sixteen breves.
    """
    parts = _ties(length, most_dots)
    if parts is None:
        raise TheoryError(_no_shape(length), str(length))
    return parts


def _ties(length: Fraction, most_dots: int) -> tuple[NoteValue, ...] | None:
    """Take the longest shape that fits, again and again; None where a rest remains."""
    if not 0 < length <= _LONGEST_TIE:
        return None
    parts = []
    # Two breves rather than a dotted breve and a half.
    while length > _SHAPES_END:
        parts.append(NoteValue(Fraction(2)))
        length -= 2
    for shape in _LONGEST_FIRST:
        while shape.dots <= most_dots and shape.length <= length:
            parts.append(shape)
            length -= shape.length
    return None if length else tuple(sorted(parts, reverse=True))


def _no_shape(length: Fraction) -> str:
    """Say why no note shows a length, and what does."""
    if length <= 0:
        return "A note lasts longer than nothing"
    odd = length.denominator // (length.denominator & -length.denominator)
    if odd > 1:
        normal = 1 << (odd.bit_length() - 1)
        written = length * Fraction(odd, normal)
        return f"No note lasts {length}; it is {written} in a group of {odd}:{normal}"
    parts = _ties(length, 2)
    if parts is None:
        return f"No note lasts {length}: the shortest is 1/256, the longest 2, the breve"
    return f"No single note lasts {length}; tie {' to '.join(str(part) for part in parts)}"
