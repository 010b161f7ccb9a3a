"""Counted places, lengths in words, tuplets and clock time: there, and back again."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import BeatName, BeatPart, Meter, TheoryError, TupletRatio
from stavewright.theory.length_words import length_words, read_length, read_lengths
from stavewright.theory.tempo_time import length_of, milliseconds, whole_note_ms
from stavewright.theory.tuplet_ratio import lasting, printed_for
from tests import strategies
from tests.cases import cases
from tests.theory.faults import check_any_text, check_fault

DATA = Path(__file__).parent / "data"
lengths = st.fractions(min_value=0, max_value=4, max_denominator=192).filter(bool)
places = st.builds(
    BeatName,
    st.integers(1, 40),
    st.sampled_from(BeatPart),
    st.fractions(min_value=-1, max_value=1, max_denominator=96),
)
positions = st.tuples(
    strategies.meters, st.fractions(min_value=0, max_value=1, max_denominator=360), st.booleans()
).filter(lambda drawn: drawn[1] < 1)


def fraction(text):
    return sum(Fraction(part) for part in text.split("+"))


@pytest.mark.parametrize("case", cases(DATA / "beat_names.tsv"))
def test_a_place_has_its_name_and_the_name_its_place(case):
    meter, position = Meter.parse(case["meter"]), fraction(case["position"])
    by_units = case["by_units"] == "units"
    name = BeatName.at(position, meter, by_units=by_units)
    assert str(name) == case["words"]
    assert BeatName.parse(case["words"]).position(meter, by_units=by_units) == position


@pytest.mark.parametrize("case", cases(DATA / "beat_texts.tsv"))
def test_a_place_is_read_however_it_is_written(case):
    assert str(BeatName.parse(case["text"])) == case["words"]


@pytest.mark.parametrize("case", cases(DATA / "beat_faults.tsv"))
def test_what_is_no_place_is_explained(case):
    check_fault(BeatName.parse, case)


def test_milliseconds_at_a_tempo():
    whole = whole_note_ms(Fraction(1, 4), Fraction(120))
    assert whole == 2000
    late = BeatName.parse("12.5 ms after the and of two", whole)
    assert late.offset == Fraction(1, 160)
    assert late.words_in_ms(whole) == "12.5 ms after the and of two"
    assert BeatName(1, BeatPart.BEAT, Fraction(-1, 32)).words_in_ms(whole) == "62.5 ms before one"
    assert BeatName(3, BeatPart.E).words_in_ms(whole) == "the e of three"
    assert milliseconds(Fraction(1, 32), Fraction(1, 4), Fraction(96)) == Fraction("78.125")
    assert milliseconds(Fraction(3, 8), Fraction(3, 8), Fraction(60)) == 1000


@pytest.mark.parametrize(("unit", "per_minute"), [(0, 60), (Fraction(1, 4), 0)])
def test_no_tempo_stands_still(unit, per_minute):
    with pytest.raises(ValueError, match="a tempo counts"):
        whole_note_ms(Fraction(unit), Fraction(per_minute))


@pytest.mark.parametrize(
    ("text", "meter", "says"),
    [
        ("the and of two", "6/8", "counted two la li"),
        ("five", "4/4", "four beats"),
        ("two", "1/4", "one beat"),
    ],
)
def test_a_place_that_the_metre_does_not_have(text, meter, says):
    with pytest.raises(TheoryError, match=says):
        BeatName.parse(text).position(Meter.parse(meter))


@pytest.mark.parametrize("position", [Fraction(-1, 8), Fraction(1), Fraction(5, 4)])
def test_a_position_outside_the_bar(position):
    with pytest.raises(TheoryError, match="outside"):
        BeatName.at(position, Meter.parse("4/4"))


def test_no_beat_is_counted_nought():
    with pytest.raises(ValueError, match="from one"):
        BeatName(0)


@given(positions)
def test_every_position_has_a_name_that_leads_back(drawn):
    meter, share, by_units = drawn
    position = share * meter.length
    name = BeatName.at(position, meter, by_units=by_units)
    assert name.position(meter, by_units=by_units) == position
    assert BeatName.parse(str(name)) == name


@given(places)
def test_printing_and_reading_a_place_is_identity(place):
    assert BeatName.parse(str(place)) == place


@given(st.text(alphabet="0123456789/&+ aendtofuhliwrp.-ms", max_size=14) | st.text(max_size=12))
def test_any_text_gives_a_place_or_a_placed_fault(text):
    check_any_text(BeatName.parse, text)
    check_any_text(read_lengths, text)
    check_any_text(TupletRatio.parse, text)


@pytest.mark.parametrize("case", cases(DATA / "lengths.tsv"))
def test_lengths_in_words(case):
    found = read_lengths(case["text"])
    assert found == tuple(Fraction(each) for each in case["lengths"].split())
    assert sum(found) == Fraction(case["sum"])
    assert length_words(sum(found)) == case["words"]


@pytest.mark.parametrize(
    ("text", "start", "suggestion"),
    [
        ("an eighth and two sixteens", 14, "sixteenth"),
        ("a quarter and", 13, None),
        ("some quarters", 0, None),
        ("1/0", 0, None),
        ("a triplet", 0, None),
    ],
)
def test_lengths_that_are_none(text, start, suggestion):
    with pytest.raises(TheoryError) as caught:
        read_lengths(text)
    assert (caught.value.start, caught.value.suggestion) == (start, suggestion)


def test_one_length_is_one():
    with pytest.raises(TheoryError):
        read_length("two sixteenths")


@given(lengths)
def test_a_length_is_read_from_its_words(length):
    assert read_length(length_words(length)) == length


@pytest.mark.parametrize("case", cases(DATA / "tuplets.tsv"))
def test_tuplets_inside_tuplets(case):
    ratios = [TupletRatio.parse(text) for text in case["ratios"].split()]
    assert lasting(Fraction(case["printed"]), ratios) == Fraction(case["lasts"])
    assert ratios[0].name == case["name"]
    assert [str(ratio) for ratio in ratios] == case["ratios"].split()


def test_what_is_printed_for_a_length():
    third, fifth = TupletRatio(3, 2), TupletRatio(5, 4)
    assert printed_for(Fraction(1, 12)) == (Fraction(1, 8), (third,))
    assert printed_for(Fraction(1, 30)) == (Fraction(1, 16), (third, fifth))
    assert printed_for(Fraction(3, 8)) == (Fraction(3, 8), ())
    with pytest.raises(TheoryError):
        printed_for(Fraction(0))


@given(lengths)
def test_what_is_printed_lasts_its_length(length):
    printed, ratios = printed_for(length)
    assert lasting(printed, ratios) == length
    assert printed.denominator & (printed.denominator - 1) == 0


@pytest.mark.parametrize(
    ("text", "suggestion"), [("3", "3:2"), ("triplets", "3:2"), ("x", None), ("2:2", None)]
)
def test_no_ratio(text, suggestion):
    with pytest.raises(TheoryError) as caught:
        TupletRatio.parse(text)
    assert caught.value.suggestion == suggestion


def test_a_ratio_that_changes_nothing_cannot_be_made():
    with pytest.raises(ValueError, match="no group"):
        TupletRatio(2, 2)


@given(lengths, lengths, lengths)
def test_clock_time_and_note_values_are_inverse(length, unit, per_minute):
    assert length_of(milliseconds(length, unit, per_minute), unit, per_minute) == length
