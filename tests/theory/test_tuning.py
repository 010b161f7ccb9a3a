"""Ratios, cents, hertz, commas, equal divisions, the terms for quarter tones."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import log2
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import Interval, Pitch, PitchName, TheoryError
from stavewright.theory.just_intervals import (
    Source,
    difference,
    find_just,
    just_intervals,
    named,
    stacked,
    tunings_of,
)
from stavewright.theory.quarter_tones import QUARTER_TONE_SIGNS, quarter_tone_signs
from stavewright.theory.tuning import (
    EqualDivision,
    cents_of,
    hertz_above,
    parse_ratio,
    ratio_near,
)
from tests.cases import cases
from tests.theory.faults import check_any_text

DATA = Path(__file__).parent / "data"
ratios = st.builds(Fraction, st.integers(1, 10**6), st.integers(1, 10**6))
small_ratios = st.builds(Fraction, st.integers(1, 60), st.integers(1, 60))


@pytest.mark.parametrize("case", cases(DATA / "just_intervals.tsv"))
def test_a_just_interval(case):
    ratio = parse_ratio(case["ratio"])
    assert str(cents_of(ratio)) == case["cents"]
    found = named(ratio)
    assert found.name == case["name"]
    assert str(found.spelled or "") == case["spelled"]
    assert found.is_comma == (not case["spelled"])
    assert find_just(case["name"].upper()) == found
    assert named(1 / ratio) == found


@pytest.mark.parametrize("case", cases(DATA / "commas.tsv"))
def test_the_comma_between(case):
    one, other = parse_ratio(case["one"]), parse_ratio(case["other"])
    comma = named(difference(one, other))
    assert (comma.name if comma else "") == case["comma"]
    assert difference(other, one) == difference(one, other)


def test_the_table_holds_together():
    rows = just_intervals()
    names = [name.lower() for row in rows for name in (row.name, *row.aliases)]
    assert len(set(names)) == len(names)
    assert len({row.ratio for row in rows}) == len(rows)
    for row in rows:
        assert row.source in Source
        if row.spelled is not None:
            # No tuning lies nearer to the next half step than to its own.
            assert abs(row.cents - row.spelled.cents) < 50
            assert row in tunings_of(row.spelled)
    assert named(Fraction(81, 80)).words == "syntonic comma, 81/80, 21.506 cents"


def test_what_a_major_third_may_be():
    found = [f"{each.ratio}" for each in tunings_of(Interval.parse("-M3"))]
    assert found == ["5/4", "81/64", "9/7"]


def test_commas_by_stacking():
    assert named(stacked(Fraction(3, 2), 12)).name == "Pythagorean comma"
    assert 2 / stacked(Fraction(5, 4), 3) == find_just("great diesis").ratio
    assert stacked(Fraction(3, 2), 4) == Fraction(81, 64)
    assert stacked(Fraction(3, 2), -1) == Fraction(4, 3)


def test_cents_to_many_places():
    # log2(3) is OEIS A020857, from memory; the fifth is 1200 times what it has over one.
    log2_of_3 = Decimal("1.58496250072115618145373894394781")
    assert cents_of(Fraction(3, 2), 22) == round(1200 * (log2_of_3 - 1), 22)
    assert str(cents_of(Fraction(2), 50)) == "1200." + "0" * 50
    assert str(cents_of(Fraction(10**9 - 1, 10**9), 3)) == "0.000"
    assert str(cents_of(Fraction(4, 5))) == "-386.314"


def test_what_is_no_ratio():
    for wrong in (Fraction(0), Fraction(-1, 2)):
        with pytest.raises(TheoryError, match="greater than nothing"):
            cents_of(wrong)
        with pytest.raises(TheoryError, match="greater than nothing"):
            difference(Fraction(1), -abs(wrong) - 1)
        with pytest.raises(TheoryError, match="greater than nothing"):
            hertz_above(Fraction(440), wrong)
        with pytest.raises(TheoryError, match="greater than nothing"):
            stacked(wrong, 2)
    for text in ("0/1", "1/0", "fifth", "1.5"):
        with pytest.raises(TheoryError):
            parse_ratio(text)
    with pytest.raises(TheoryError, match="give its ratio"):
        find_just("blue third")
    with pytest.raises(ValueError, match="decimals"):
        cents_of(Fraction(3, 2), 51)
    with pytest.raises(ValueError, match="more than no cents"):
        ratio_near(700, 0)


def test_hertz_at_any_a():
    assert hertz_above(Fraction(440), Fraction(5, 4)) == 550
    assert hertz_above(Fraction(415), Fraction(3, 5)) == 249
    assert hertz_above(Fraction(442), Fraction(2)) == 884


@pytest.mark.parametrize(
    ("cents", "within", "ratio"),
    [
        (386, 1, "5/4"),
        (702, 1, "3/2"),
        (969, 1, "7/4"),
        (1200, 1, "2"),
        (0, 1, "1"),
        (22, 1, "76/75"),
    ],
)
def test_the_simplest_ratio_near_a_size(cents, within, ratio):
    assert ratio_near(cents, within) == Fraction(ratio)


def test_equal_divisions():
    twelve = EqualDivision(12)
    assert (twelve.step, twelve.cents(7)) == (100, 700)
    assert twelve.nearest(Fraction(3, 2)) == (7, Decimal("-1.955"))
    assert twelve.nearest(Fraction(5, 4)) == (4, Decimal("13.686"))
    # 31 steps give a nearly just third, 53 a nearly just fifth; common knowledge since Mercator.
    assert EqualDivision(31).nearest(Fraction(5, 4)) == (10, Decimal("0.783"))
    assert EqualDivision(53).nearest(Fraction(3, 2)) == (31, Decimal("-0.068"))
    assert EqualDivision(24).words == "24 equal steps of 50 cents"
    assert EqualDivision(1).words == "1 equal step of 1200 cents"
    with pytest.raises(ValueError, match="no octave"):
        EqualDivision(0)


def test_the_terms_for_quarter_tones():
    terms = [sign.term for sign in quarter_tone_signs(PitchName.parse("B(-50)"))]
    assert terms == ["half-flat", "koron"]
    assert [sign.term for sign in quarter_tone_signs(Pitch.parse("F#(+50)4"))] == [
        "sharp and a half"
    ]
    assert quarter_tone_signs(PitchName.parse("Bb")) == ()
    words = {sign.term: sign.words for sign in QUARTER_TONE_SIGNS}
    assert words["half-flat"].startswith("half-flat: lowers by 50 cents")
    assert words["sori"].startswith("sori: raises by about 50 cents")


@given(ratios)
def test_cents_agree_with_the_logarithm(ratio):
    assert float(cents_of(ratio, 9)) == pytest.approx(1200 * log2(ratio), abs=1e-8)


@given(ratios, ratios)
def test_ratios_multiply_where_cents_add(one, other):
    whole = cents_of(one * other, 12)
    assert abs(whole - cents_of(one, 12) - cents_of(other, 12)) <= Decimal("2e-12")


@given(small_ratios)
def test_a_ratio_is_found_from_its_cents(ratio):
    # Two fractions with denominators to 60 lie at least 1/3600 apart, here more than 0.006 cents.
    assert ratio_near(cents_of(ratio, 12), Decimal("0.003")) == ratio


@given(ratios, st.integers(1, 100))
def test_the_nearest_step_is_within_half_a_step(ratio, steps):
    division = EqualDivision(steps)
    count, excess = division.nearest(ratio)
    assert abs(excess) <= Decimal(600) / steps + Decimal("0.001")
    assert float(division.cents(count)) - float(excess) == pytest.approx(
        1200 * log2(ratio), abs=0.001
    )


@given(st.text(alphabet="0123456789/: ", max_size=8) | st.text(max_size=8))
def test_any_text_is_a_ratio_or_a_placed_fault(text):
    check_any_text(parse_ratio, text)
