"""Note values as MEI writes them."""

from fractions import Fraction
from typing import Final

from stavewright.theory.note_value import MOST_DOTS, NoteValue

_BASES: Final = [Fraction(2), *(Fraction(1, 2**halved) for halved in range(9))]


def shape_attributes(shape: NoteValue) -> str:
    """The attributes of the shape of a note."""
    base = "breve" if shape.base == 2 else shape.base.denominator
    dots = f' dots="{shape.dots}"' if shape.dots else ""
    return f' dur="{base}"{dots}'


_ATTRIBUTES: Final = {
    shape.length.as_integer_ratio(): shape_attributes(shape)
    for shape in (NoteValue(base, dots) for base in _BASES for dots in range(MOST_DOTS + 1))
}
"""By numerator and denominator: a Fraction is slow to look up."""


def value_attributes(value: Fraction | None) -> str:
    """The attributes of a note value; a bare head, which has none, is drawn as a quarter's."""
    return ' dur="4"' if value is None else _ATTRIBUTES[value.numerator, value.denominator]
