"""Nashville numbers, there and back."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import Chord, Key, Numeral, TheoryError
from stavewright.theory.nashville import nashville_number, read_nashville
from tests import strategies
from tests.cases import cases
from tests.theory.faults import check_any_text

DATA = Path(__file__).parent / "data"
C_MAJOR = Key.parse("C major")


@pytest.mark.parametrize("case", cases(DATA / "nashville.tsv"))
def test_a_chord_has_its_number(case):
    chord, key = Chord.parse(case["chord"]), Key.parse(case["key"])
    assert (nashville_number(chord, key) or "-") == case["number"]
    if case["number"] != "-":
        assert read_nashville(case["number"], key) == chord


def test_an_augmented_sixth_has_no_number():
    assert nashville_number(Numeral.parse("Ger65").chord(C_MAJOR), C_MAJOR) is None


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [("", 0, 0), ("8", 0, 1), ("5foo", 1, 4), ("C", 0, 1), ("#b57", 0, 3), ("5/#b7", 2, 5)],
)
def test_what_is_no_number(text, start, end):
    with pytest.raises(TheoryError) as caught:
        read_nashville(text, C_MAJOR)
    assert (caught.value.start, caught.value.end) == (start, end)


def test_signs_of_the_trade_are_read():
    assert read_nashville("♭7", C_MAJOR) == Chord.parse("Bb")
    assert read_nashville("7ø7", C_MAJOR) == Chord.parse("Bm7b5")
    assert read_nashville("2m7", C_MAJOR) == Chord.parse("Dm7")


@given(strategies.chords, strategies.keys)
def test_a_number_leads_back_to_its_chord(chord, key):
    number = nashville_number(chord, key)
    if number is not None:
        assert read_nashville(number, key) == chord


@given(st.text(alphabet="1234567#b-m/aj°ø+9", max_size=7), strategies.keys)
def test_any_text_is_a_number_or_explained(text, key):
    check_any_text(lambda each: read_nashville(each, key), text)
