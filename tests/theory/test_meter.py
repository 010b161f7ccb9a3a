"""Metres: lengths, beats and groups."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import Meter, MeterSymbol
from tests import strategies
from tests.cases import cases
from tests.theory.faults import check_any_text, check_fault

DATA = Path(__file__).parent / "data"


def fractions(text):
    return tuple(Fraction(word) for word in text.split())


@pytest.mark.parametrize("case", cases(DATA / "meters.tsv"))
def test_meter(case):
    meter = Meter.parse(case["text"])
    assert meter.length == Fraction(case["length"])
    assert meter.kind.value == case["kind"]
    assert meter.beats == fractions(case["beats"])
    assert meter.beat_starts == fractions(case["beat_starts"])
    assert meter.group_starts == fractions(case["group_starts"])


@pytest.mark.parametrize("case", cases(DATA / "meter_faults.tsv"))
def test_bad_meter_is_explained(case):
    check_fault(Meter.parse, case)


def test_a_sign_keeps_its_figures():
    common = Meter.parse("common")
    assert (str(common), common.figures, common.symbol) == ("common", "4/4", MeterSymbol.COMMON)
    assert Meter.parse("cut").figures == "2/2"
    # The sign is part of what is printed, so the two are not one value.
    assert common != Meter.parse("4/4")


@pytest.mark.parametrize(("groups", "unit"), [((), 4), ((0,), 4), ((4,), 3)])
def test_a_bar_that_cannot_be_written_cannot_be_made(groups, unit):
    with pytest.raises(ValueError, match="no bar has"):
        Meter(groups, unit)


@given(strategies.meters)
def test_printing_and_reading_is_identity(meter):
    assert Meter.parse(str(meter)) == meter


@given(strategies.meters)
def test_beats_fill_the_bar(meter):
    assert sum(meter.beats) == meter.length
    assert len(meter.beats) == len(meter.beat_starts)
    assert meter.beat_starts[0] == 0
    assert set(meter.group_starts) <= set(meter.beat_starts)


@given(st.text(alphabet="0123456789/+ cut:|C", max_size=9) | st.text(max_size=12))
def test_any_text_gives_a_value_or_a_placed_fault(text):
    check_any_text(Meter.parse, text)
