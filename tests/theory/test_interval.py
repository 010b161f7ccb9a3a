"""Intervals: names, inversions, sums, and every name between spelled pitches."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import Interval, Letter, Pitch
from tests import strategies
from tests.cases import cases, rows
from tests.theory.faults import check_any_text, check_fault

DATA = Path(__file__).parent / "data"
OCTAVE = Interval.parse("P8")
INTERVAL_TEXT = st.text(alphabet="PMmAdn0123456789+-−() ", max_size=10) | st.lists(
    st.sampled_from(
        [
            "perfect",
            "major",
            "minor",
            "augmented",
            "doubly",
            "9-fold",
            "fifth",
            "fith",
            "unison",
            "12th",
            "plus",
            "minus",
            "5",
            "cents",
            "descending",
            "octave",
            "double",
            "tritone",
        ]
    ),
    max_size=6,
).map(" ".join)


@pytest.mark.parametrize("case", cases(DATA / "intervals.tsv"))
def test_textbook_interval(case):
    interval = Pitch.parse(case["low"]).interval_to(Pitch.parse(case["high"]))
    assert interval.name == case["name"]
    assert interval.short == str(interval) == case["short"]
    assert interval.semitones == Fraction(case["semitones"])
    assert interval.inversion.short == case["inversion"]
    assert case["name"].startswith(interval.quality)


@pytest.mark.parametrize("case", cases(DATA / "interval_texts.tsv"))
def test_other_ways_of_writing(case):
    assert Interval.parse(case["text"]).short == case["short"]


@pytest.mark.parametrize("case", cases(DATA / "interval_faults.tsv"))
def test_bad_interval_is_explained(case):
    check_fault(Interval.parse, case)


def test_a_whole_number_of_half_steps_is_an_int():
    assert type(Interval.parse("P5").semitones) is int
    assert type(Interval.parse("n3").semitones) is Fraction


def test_compounds_begin_beyond_the_octave():
    assert not Interval.parse("A8").is_compound
    assert Interval.parse("d9").is_compound
    assert Interval.parse("P15").simple == OCTAVE
    assert Interval.parse("-M10").simple == Interval.parse("-M3")


def test_order_is_by_letters_then_sound():
    shuffled = [Interval.parse(short) for short in ["d4", "A3", "P1", "-M2", "m3", "A1", "M3"]]
    assert [each.short for each in sorted(shuffled)] == ["-M2", "P1", "A1", "m3", "M3", "A3", "d4"]


def test_degrees_count_from_one():
    assert Interval.of_degree(9, -100) == Interval.parse("m9")
    with pytest.raises(ValueError, match="count from 1"):
        Interval.of_degree(0)


@given(strategies.any_intervals)
def test_short_name_and_reading_is_identity(interval):
    assert Interval.parse(interval.short) == interval


@given(strategies.intervals)
def test_name_and_reading_is_identity(interval):
    assert Interval.parse(interval.name) == interval
    assert Interval.parse(f"descending {interval.name}") == -interval


@given(strategies.any_intervals, strategies.any_intervals, strategies.pitches)
def test_adding_intervals_is_moving_twice(one, other, pitch):
    assert pitch + (one + other) == pitch + one + other
    assert one + other == other + one
    assert one + other - other == one


@given(strategies.intervals)
def test_an_interval_and_its_inversion_make_an_octave(interval):
    simple = interval.simple
    whole = simple + interval.inversion
    # An augmented octave is inverted as the augmented unison above it: together two octaves.
    assert whole in (OCTAVE, OCTAVE + OCTAVE)
    if simple.number < 8 or simple.cents <= OCTAVE.cents:
        assert whole == OCTAVE
    if interval != -interval:  # a perfect unison has no way down
        assert (-interval).inversion == -interval.inversion


@given(strategies.any_intervals)
def test_magnitude_forgets_only_the_direction(interval):
    upwards = interval.magnitude
    assert not upwards.is_descending
    assert upwards in (interval, -interval)
    assert upwards.name == interval.name
    assert upwards.number == interval.number == upwards.steps + 1


@given(INTERVAL_TEXT | st.text(max_size=20))
def test_any_text_gives_a_value_or_a_placed_fault(text):
    check_any_text(Interval.parse, text)


# --- music21 as the outside judge --------------------------------------------------------------

LOW = [Pitch(letter, 100 * count, 4) for letter in Letter for count in range(-2, 3)]
PAIRS = [
    (low, Pitch(tuple(Letter)[place % 7], 100 * count, place // 7))
    for low in LOW
    for place in range(low.staff_position, low.staff_position + 15)
    for count in range(-2, 3)
]
"""From each name with up to two accidentals to each such name over two octaves."""


@cache
def their_pitch(pitch):
    from music21 import pitch as music21_pitch

    signs = "#" * pitch.name.accidentals or "-" * -pitch.name.accidentals
    return music21_pitch.Pitch(f"{pitch.letter}{signs}{pitch.octave}")


def their_reading(low, high):
    """Direction, short name and name in words, in our terms."""
    from music21 import interval as music21_interval

    try:
        theirs = music21_interval.Interval(their_pitch(low), their_pitch(high))
    except music21_interval.IntervalException:
        return "no answer", ""
    direction = {1: "up", 0: "level", -1: "down"}[theirs.direction.value]
    words = theirs.niceName.lower().replace("y-", "y ").replace("double-octave", "fifteenth")
    return f"{direction} {theirs.name}", words


def test_all_names_agree_with_music21_but_for_the_table():
    table = {case["title"]: case["theirs"] for _, case in rows(DATA / "music21_intervals.tsv")}
    used = set()
    for low, high in PAIRS + [(high, low) for low, high in PAIRS]:
        interval = low.interval_to(high)
        ours = ("down " if interval.is_descending else "up ") + interval.short.lstrip("-")
        theirs, words = their_reading(low, high)
        if ours == theirs:
            assert interval.name == words
        else:
            used.add(ours)
            assert table.get(ours) == theirs, f"{low} to {high}"
    assert used == set(table), "rows that no pair needs"


def test_there_are_more_pairs_than_five_thousand():
    assert len(PAIRS) * 2 == 35 * 75 * 2
