"""Pitches: how they are written, how they sound, and the laws between them."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import Interval, Letter, Pitch, PitchName
from tests import strategies
from tests.cases import cases
from tests.theory.faults import check_any_text, check_fault

DATA = Path(__file__).parent / "data"
PITCH_TEXT = st.text(alphabet="ABCDEFGHabch#b♯♭♮x𝄪𝄫(+-−)0123456789 sharpflatis", max_size=12)


@pytest.mark.parametrize("case", cases(DATA / "pitches.tsv"))
def test_text_names_one_pitch(case):
    pitch = Pitch.parse(case["text"])
    assert str(pitch) == case["printed"]
    assert pitch.display == case["display"]
    assert pitch.cents == int(case["cents"])
    assert pitch.key_number == float(case["key_number"])
    assert Pitch.parse(case["printed"]) == pitch


@pytest.mark.parametrize("case", cases(DATA / "pitch_faults.tsv"))
def test_bad_pitch_is_explained(case):
    check_fault(Pitch.parse, case)


@pytest.mark.parametrize("case", cases(DATA / "name_faults.tsv"))
def test_bad_name_is_explained(case):
    check_fault(PitchName.parse, case)


@pytest.mark.parametrize("case", cases(DATA / "frequencies.tsv"))
def test_frequencies_agree_with_published_tables(case):
    pitch = Pitch.parse(case["text"])
    places = len(case["hertz"].partition(".")[2])
    assert pitch.key_number == float(case["title"])
    assert round(pitch.hertz(), places) == float(case["hertz"])


def test_another_reference_moves_every_frequency():
    assert Pitch.parse("A4").hertz(442) == pytest.approx(442)
    assert Pitch.parse("A3").hertz(415) == pytest.approx(207.5)


def test_music21_hears_the_same_frequencies():
    from music21 import pitch as music21_pitch

    for number in range(128):
        theirs = music21_pitch.Pitch(midi=number)
        ours = Pitch.parse(f"{theirs.name.replace('-', 'b')}{theirs.octave}")
        assert ours.key_number == number
        assert ours.hertz() == pytest.approx(theirs.frequency, rel=1e-9)


def test_one_sound_two_spellings_are_two_pitches():
    low, high = Pitch.parse("B#3"), Pitch.parse("C4")
    assert low != high
    assert low.sounds_like(high)
    # By sound they tie; B stands lower on the staff.
    assert low < high


def test_a_name_is_never_a_pitch():
    assert PitchName.parse("C") != Pitch.parse("C4")
    assert len({PitchName.parse("C"), Pitch.parse("C4"), Pitch.parse("C4").name}) == 2


def test_names_are_ordered_by_sound_then_letter():
    shuffled = [
        PitchName.parse(name) for name in ["B", "Cb", "C", "B#", "Db", "C#", "E(-50)", "Eb", "D"]
    ]
    assert [str(name) for name in sorted(shuffled)] == [
        "C",
        "B#",
        "C#",
        "Db",
        "D",
        "Eb",
        "E(-50)",
        "Cb",
        "B",
    ]


def test_letters_are_ordered_from_c():
    assert [str(letter) for letter in sorted(Letter)] == list("CDEFGAB")
    assert [letter.semitone for letter in Letter] == [0, 2, 4, 5, 7, 9, 11]


def test_line_of_fifths_has_every_plain_name_once():
    names = [PitchName.from_fifths(fifths) for fifths in range(-15, 20)]
    assert " ".join(str(name) for name in names) == (
        "Fbb Cbb Gbb Dbb Abb Ebb Bbb Fb Cb Gb Db Ab Eb Bb F C G D A E B F# C# G# D# A# E# B# "
        "F## C## G## D## A## E## B##"
    )
    assert [name.fifths for name in names] == list(range(-15, 20))
    assert all(low.interval_to(high).short == "P5" for low, high in pairwise(names))


@pytest.mark.parametrize(
    ("text", "start", "found"),
    [
        ("Bb5", 0, ("Bb", 2)),
        ("F#m7", 0, ("F#", 2)),
        ("C/Gb", 2, ("Gb", 4)),
        ("Bb#", 0, ("Bb", 2)),
        ("B(b5)", 0, ("B", 1)),
        ("Cx", 0, ("C##", 2)),
        ("m7", 0, None),
        ("", 0, None),
        ("C" + "#" * 9, 0, ("C######", 7)),
    ],
)
def test_a_name_is_read_off_the_front_of_a_symbol(text, start, found):
    scanned = PitchName.scan(text, start)
    assert scanned == (found and (PitchName.parse(found[0]), found[1]))


def test_a_name_takes_the_octave_at_or_above_a_note():
    low = Pitch.parse("G3")
    assert [str(PitchName.parse(name).above(low)) for name in ("G", "Gb", "B", "C", "F#")] == [
        "G3",
        "Gb3",
        "B3",
        "C4",
        "F#4",
    ]


def test_quarter_tones_have_fractional_classes():
    assert Pitch.parse("B(-50)4").pitch_class == Fraction(21, 2)
    assert PitchName.parse("E(-50)").is_microtonal
    assert not PitchName.parse("Eb").is_microtonal
    assert PitchName.parse("E(-50)").accidentals == 0


@pytest.mark.parametrize("operation", ["+", "-", "<"])
@pytest.mark.parametrize("value", [Pitch.parse("C4"), PitchName.parse("C"), Interval.parse("P5")])
def test_what_cannot_be_combined_is_refused(operation, value):
    operate = {
        "+": lambda: value + "P5",
        "-": lambda: value - "P5",
        "<": lambda: value < "P5",
    }[operation]
    with pytest.raises(TypeError):
        operate()


@given(strategies.pitches)
def test_printing_and_reading_is_identity(pitch):
    assert Pitch.parse(str(pitch)) == pitch
    assert PitchName.parse(str(pitch.name)) == pitch.name
    assert pitch.name.at(pitch.octave) == pitch
    assert pitch.name.spelled == pitch.spelled


@given(strategies.pitches, strategies.any_intervals)
def test_there_and_back_is_identity(pitch, interval):
    assert pitch + interval - interval == pitch
    assert pitch - interval + interval == pitch
    assert pitch.interval_to(pitch + interval) == interval
    assert pitch.name + interval == (pitch + interval).name
    assert pitch.name - interval == (pitch - interval).name


@given(strategies.pitches, strategies.pitches)
def test_intervals_are_mirrored(one, other):
    assert one.interval_to(other) == -other.interval_to(one)
    assert one + one.interval_to(other) == other


@given(strategies.pitches, strategies.pitches)
def test_order_follows_sound_and_agrees_with_equality(one, other):
    assert (one < other) + (one == other) + (one > other) == 1
    if one.cents != other.cents:
        assert (one < other) == (one.hertz() < other.hertz())
    assert (one.name < other.name) + (one.name == other.name) + (one.name > other.name) == 1


@given(strategies.pitches)
def test_an_octave_doubles_the_frequency(pitch):
    assert (pitch + Interval.parse("P8")).hertz() == pytest.approx(2 * pitch.hertz())


@given(strategies.names, strategies.names)
def test_names_lie_an_upward_interval_apart(low, high):
    interval = low.interval_to(high)
    assert 1 <= interval.number <= 8
    assert low + interval == high
    assert not interval.is_descending


@given(PITCH_TEXT | st.text(max_size=20))
def test_any_text_gives_a_value_or_a_placed_fault(text):
    check_any_text(Pitch.parse, text)
    check_any_text(PitchName.parse, text)


def test_a_letter_is_its_text_and_stands_in_order_from_c() -> None:
    assert Pitch.parse("C##4").letter == "C"
    assert "".join(sorted(Letter, reverse=True)) == "BAGFEDC"
    assert Letter.B > Letter.A > Letter.G >= Letter.G
    assert Letter.C <= Letter.D < Letter.E
