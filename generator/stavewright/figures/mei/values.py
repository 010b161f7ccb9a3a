"""Note values as MEI writes them."""

from fractions import Fraction

from stavewright.theory.note_value import NoteValue


def value_attributes(value: Fraction | None) -> str:
    """The attributes of a note value; a bare head, which has none, is drawn as a quarter's."""
    return ' dur="4"' if value is None else shape_attributes(NoteValue.from_length(value))


def shape_attributes(shape: NoteValue) -> str:
    """The attributes of the shape of a note."""
    base = "breve" if shape.base == 2 else shape.base.denominator
    dots = f' dots="{shape.dots}"' if shape.dots else ""
    return f' dur="{base}"{dots}'
