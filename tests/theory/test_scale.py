"""Scales: the table of named ones, steps in cents, and how both are spelled."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import SCALE_KINDS, PitchName, Scale
from stavewright.theory.scale_kinds import AMBIGUOUS, plain_name
from tests import strategies
from tests.cases import cases
from tests.theory.faults import check_any_text, check_fault

DATA = Path(__file__).parent / "data"
ALL_NAMES = [name for kind in SCALE_KINDS for name in (kind.name, *kind.aliases)]
SCALE_TEXT = st.tuples(
    st.sampled_from(["C", "F#4", "c", "H", "B(-50)3", "", "C99"]),
    st.sampled_from(["", " "]),
    st.sampled_from([*ALL_NAMES, *AMBIGUOUS, "dorain", "steps 0", "steps 200 100", "steps"])
    | st.text(max_size=8),
).map("".join)


def spelled(names):
    return " ".join(str(name) for name in names)


@pytest.mark.parametrize("case", cases(DATA / "scales.tsv"))
def test_scale(case):
    scale = Scale.parse(case["text"])
    assert spelled(scale.names) == " ".join(scale.spelling) == case["rising"]
    assert spelled(scale.falling_names) == case["falling"]


@pytest.mark.parametrize("case", cases(DATA / "scale_faults.tsv"))
def test_bad_scale_is_explained(case):
    check_fault(Scale.parse, case)


def test_a_tonic_with_an_octave_gives_pitches():
    assert spelled(Scale.parse("D4 dorian").pitches) == "D4 E4 F4 G4 A4 B4 C5 D5"
    assert spelled(Scale.parse("A3 melodic minor").falling_pitches) == "A4 G4 F4 E4 D4 C4 B3 A3"
    assert spelled(Scale.parse("C3 steps 200 150 150 200 200 150 150").pitches) == (
        "C3 D3 E(-50)3 F3 G3 A3 B(-50)3 C4"
    )


def test_without_an_octave_a_scale_begins_in_the_fourth():
    assert spelled(Scale.parse("B major").pitches[:2]) == "B4 C#5"


def test_steps_that_make_no_octave_close_where_they_end():
    assert spelled(Scale.parse("C4 steps 700 700").pitches) == "C4 G4 D5"


def test_degrees_are_measured_against_major():
    assert " ".join(Scale.parse("C blues").degrees) == "1 b3 4 b5 5 b7"
    assert " ".join(Scale.parse("C lydian augmented #2").degrees) == "1 #2 3 #4 #5 6 7"
    assert Scale.parse("C steps 350 350 500").degrees == ("1", "3(-50)", "5")


def test_both_ways_belong_to_the_scale():
    scale = Scale.parse("A melodic minor")
    assert all(scale.contains(PitchName.parse(name)) for name in ("F#", "F", "G#", "G"))
    assert not scale.contains(PitchName.parse("Gb"))


def test_display_uses_the_signs_of_music():
    assert Scale.parse("F#-1 dorian").display == "F♯−1 dorian"
    assert Scale.parse("Bb dorian").display == "B♭ dorian"


def test_every_name_means_one_scale():
    plain = [plain_name(name) for name in ALL_NAMES]
    assert len(plain) == len(set(plain))
    assert not set(plain) & set(AMBIGUOUS)
    for one, other in AMBIGUOUS.values():
        assert {one, other} <= set(ALL_NAMES)


@pytest.mark.parametrize("kind", SCALE_KINDS, ids=lambda kind: kind.name)
def test_every_scale_rises_within_an_octave(kind):
    for intervals in (kind.rising, kind.falling):
        assert intervals[0].cents == 0
        heights = [interval.cents for interval in intervals]
        assert heights == sorted(set(heights))
        assert heights[-1] < 1200
        assert all(height % 100 == 0 for height in heights)
        if len(intervals) == 7:
            assert [interval.number for interval in intervals] == list(range(1, 8))


@pytest.mark.parametrize("name", ALL_NAMES)
def test_every_name_and_alias_is_read(name):
    assert spelled([Scale.parse(f"C {name}").names[0]]) == "C"


@given(strategies.scales)
def test_printing_and_reading_is_identity(scale):
    assert Scale.parse(str(scale)) == scale


@given(strategies.scales)
def test_pitches_are_the_spelling_and_the_close(scale):
    assert tuple(pitch.name for pitch in scale.pitches[:-1]) == scale.names
    assert tuple(pitch.name for pitch in scale.falling_pitches[:-1]) == scale.falling_names
    heights = [pitch.cents for pitch in scale.pitches]
    assert heights == sorted(heights)


@given(strategies.plain_pitches, st.lists(st.integers(1, 400), min_size=1, max_size=24))
def test_steps_sound_as_they_are_written(tonic, steps):
    scale = Scale.parse(f"{tonic} steps {' '.join(map(str, steps))}")
    heights = [pitch.cents for pitch in scale.pitches]
    assert [high - low for low, high in pairwise(heights)] == steps


@given(SCALE_TEXT | st.text(max_size=20))
def test_any_text_gives_a_value_or_a_placed_fault(text):
    check_any_text(Scale.parse, text)


# music21 as the outside judge. Its octatonic scales are compared by sound: they are built by
# steps and respelled without regard to the tonic, ours keep one table of degrees.
@pytest.mark.parametrize(
    ("ours", "theirs", "by_sound"),
    [
        ("harmonic minor", "HarmonicMinorScale", False),
        ("melodic minor", "MelodicMinorScale", False),
        ("whole-tone", "WholeToneScale", True),
        ("half-whole octatonic", "OctatonicScale", True),
        ("major", "MajorScale", False),
        ("locrian", "LocrianScale", False),
    ],
)
@pytest.mark.parametrize(
    "tonic", ["C", "G", "D", "A", "E", "B", "F#", "C#", "F", "Bb", "Eb", "Ab", "Db", "Gb"]
)
def test_scales_agree_with_music21(ours, theirs, by_sound, tonic):
    from music21 import scale as music21_scale

    kind = getattr(music21_scale, theirs)
    their_tonic = tonic.replace("b", "-")
    made = kind(their_tonic, "m2") if theirs == "OctatonicScale" else kind(their_tonic)
    octave = made.pitches[:-1]
    spelling = Scale.parse(f"{tonic} {ours}").names
    if by_sound:
        assert [pitch.pitchClass for pitch in octave] == [name.pitch_class for name in spelling]
    else:
        assert [pitch.name.replace("-", "b") for pitch in octave] == [
            name.spelled for name in spelling
        ]
