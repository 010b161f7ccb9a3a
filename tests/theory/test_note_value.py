"""Note values: what one note shows, and what is tied."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import NoteValue, TheoryError
from stavewright.theory.note_value import parse_length, split
from tests import strategies
from tests.cases import cases
from tests.theory.faults import check_any_text

DATA = Path(__file__).parent / "data"


@pytest.mark.parametrize("case", cases(DATA / "note_values.tsv"))
def test_one_note_shows(case):
    value = NoteValue.parse(case["text"])
    assert value.name == case["name"]
    assert value.length == parse_length(case["text"])


@pytest.mark.parametrize("case", cases(DATA / "note_value_faults.tsv"))
def test_no_note_shows(case):
    with pytest.raises(TheoryError) as caught:
        NoteValue.parse(case["text"])
    assert case["says"] in caught.value.message


@pytest.mark.parametrize(
    ("base", "dots"), [(Fraction(1, 3), 0), (Fraction(1), 4), (Fraction(4), 0)]
)
def test_a_shape_that_no_one_writes_cannot_be_made(base, dots):
    with pytest.raises(ValueError, match="no note is written"):
        NoteValue(base, dots)


@pytest.mark.parametrize("length", [Fraction(0), Fraction(-1), Fraction(1, 3), Fraction(33)])
def test_what_no_ties_can_show(length):
    with pytest.raises(TheoryError):
        split(length)
    with pytest.raises(TheoryError):
        NoteValue.from_length(length)


@given(strategies.note_values)
def test_length_and_shape_are_one_to_one(value):
    assert NoteValue.from_length(value.length) == value
    assert NoteValue.parse(str(value)) == value


@given(strategies.note_values, strategies.note_values)
def test_longer_is_greater(one, other):
    assert (one < other) == (one.length < other.length)


@given(st.integers(1, 32 * 256).map(lambda count: Fraction(count, 256)), st.integers(0, 3))
def test_ties_add_up_and_run_from_long_to_short(length, dots):
    parts = split(length, dots)
    assert sum(part.length for part in parts) == length
    assert list(parts) == sorted(parts, reverse=True)
    assert all(part.dots <= dots for part in parts)


@given(st.integers(1, 512).map(lambda count: Fraction(count, 256)))
def test_one_shape_is_never_split(length):
    parts = split(length, 3)
    try:
        assert parts == (NoteValue.from_length(length),)
    except TheoryError:
        assert len(parts) > 1


@given(st.text(alphabet="0123456789/ .", max_size=8) | st.text(max_size=10))
def test_any_text_gives_a_value_or_a_placed_fault(text):
    check_any_text(parse_length, text)
    check_any_text(NoteValue.parse, text)
