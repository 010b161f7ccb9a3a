"""Columns there and back (Language Server Protocol 3.17, "Position")."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.editors.positions import Encoding, character_at, column_at, width

LINES = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
UNITS = {
    Encoding.UTF8: ("utf-8", 1),
    Encoding.UTF16: ("utf-16-le", 2),
    Encoding.UTF32: ("utf-32-le", 4),
}


@given(LINES, st.sampled_from(Encoding), st.integers(1, 25))
def test_there_and_back(line: str, encoding: Encoding, column: int) -> None:
    there = character_at(line, column, encoding)
    assert column_at(line, there, encoding) == min(column, len(line) + 1)


@given(LINES, st.sampled_from(Encoding))
def test_widths_are_those_of_the_codecs(line: str, encoding: Encoding) -> None:
    codec, unit = UNITS[encoding]
    assert width(line, encoding) == len(line.encode(codec)) // unit


@pytest.mark.parametrize(
    ("encoding", "characters"),
    [(Encoding.UTF8, [0, 1, 5, 7]), (Encoding.UTF16, [0, 1, 3, 4]), (Encoding.UTF32, [0, 1, 2, 3])],
)
def test_by_hand(encoding: Encoding, characters: list[int]) -> None:
    """a, the treble clef U+1D11E and é take 1, 4, 2 bytes; 1, 2, 1 units of sixteen bits."""
    assert [character_at("a𝄞é", column, encoding) for column in (1, 2, 3, 4)] == characters
    assert [column_at("a𝄞é", each, encoding) for each in characters] == [1, 2, 3, 4]


def test_in_the_middle_of_a_character() -> None:
    assert column_at("a𝄞é", 2, Encoding.UTF16) == 2
    assert column_at("a𝄞é", 3, Encoding.UTF8) == 2
    assert column_at("a", 99, Encoding.UTF16) == 2
