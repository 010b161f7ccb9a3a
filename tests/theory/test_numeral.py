"""Roman numerals: what each means in a key, what is refused, and the way back."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import Chord, Key, Numeral, TheoryError, numeral_for
from stavewright.theory.numeral_table import AUGMENTED_SIXTH_BASSES, Special
from tests import strategies
from tests.cases import cases
from tests.theory.faults import check_any_text, check_fault

DATA = Path(__file__).parent / "data"
PIECES = """
I II III IV V VI VII i ii iii iv v vi vii
VIII iV o ø hd + ° CT CTo Gero3 765 6543 6 64 7 65 43 42 2 9 maj7 b # / / (4-3) (64) (64-53) N N6 It
Ger Fr43 Cad64 sus4 b9 alt x ( ) - 5
"""
NUMERAL_TEXT = st.lists(
    st.sampled_from(PIECES.split()),
    max_size=5,
).map("".join) | st.text(alphabet="IViv6745øo+#b/()-mN ", max_size=8)


@pytest.mark.parametrize("case", cases(DATA / "numerals.tsv"))
def test_numeral_in_a_key(case):
    numeral = Numeral.parse(case["text"])
    chord = numeral.chord(Key.parse(case["key"]))
    assert chord.symbol == case["symbol"]
    assert " ".join(chord.from_bass) == case["from_bass"]
    assert Numeral.parse(str(numeral)) == numeral
    assert pickle.loads(pickle.dumps(numeral)) == numeral


@pytest.mark.parametrize("case", cases(DATA / "numeral_faults.tsv"))
def test_bad_numeral_is_explained(case):
    check_fault(Numeral.parse, case)


@pytest.mark.parametrize("case", cases(DATA / "numeral_for.tsv"))
def test_the_label_for_a_chord(case):
    numeral = numeral_for(Chord.parse(case["chord"]), Key.parse(case["key"]))
    assert str(numeral or "-") == case["numeral"]


@pytest.mark.parametrize(("text", "start", "end"), [("vii", 0, 3), ("vii7", 0, 3), ("V/vii", 2, 5)])
def test_plain_small_seven_has_no_place_in_minor(text, start, end):
    with pytest.raises(TheoryError, match="raised one") as caught:
        Numeral.parse(text).chord(Key.parse("C minor"))
    assert (caught.value.text, caught.value.start, caught.value.end) == (text, start, end)
    assert caught.value.suggestion == "viio"


@pytest.mark.parametrize(
    ("text", "key", "symbols"),
    [
        ("I7", "C major", ["Cmaj7", "C7"]),
        ("IV7", "C major", ["Fmaj7", "F7"]),
        ("IV7", "C minor", ["F7"]),
        ("VI7", "C minor", ["Abmaj7", "Ab7"]),
        ("bVI7", "C major", ["Ab7", "Abmaj7"]),
        ("bVII7", "C major", ["Bb7"]),
        ("IVmaj7", "C major", ["Fmaj7"]),
        ("V7", "C major", ["G7"]),
        ("Ger65", "C minor", ["Ger65"]),
        ("CTo7", "C major", ["D#dim7", "D#dim7/F#", "D#dim7/A", "D#dim7/C"]),
        ("CTo42", "C major", ["D#dim7/C"]),
        ("I", "C major", ["C"]),
    ],
)
def test_readings_of_the_trade(text, key, symbols):
    readings = Numeral.parse(text).readings(Key.parse(key))
    assert [chord.symbol for chord in readings] == symbols


@pytest.mark.parametrize(
    ("text", "key", "suggestion"),
    [
        ("bVI", "C minor", "VI"),
        ("bVI", "C major", None),
        ("bII", "C minor", None),
        ("bVII", "G mixolydian", "VII"),
        ("#viio7", "C minor", "viio7"),
        ("V7/bVI", "C minor", "VI"),
        ("VI", "C minor", None),
        ("bvi", "C minor", None),
    ],
)
def test_an_accidental_that_the_mode_makes_needless(text, key, suggestion):
    advice = Numeral.parse(text).advice(Key.parse(key))
    assert [each.suggestion for each in advice] == ([suggestion] if suggestion else [])


@pytest.mark.parametrize(
    ("text", "key", "held"),
    [
        ("V7(4-3)", "C major", "C"),
        ("V(64-53)", "C minor", "Eb C"),
        ("I(9-8)(4-3)", "D major", "E G"),
        ("vii" + "o6(7-6)", "C major", "C"),
        ("V7", "C major", ""),
    ],
)
def test_suspensions_hold_notes_of_the_mode(text, key, held):
    numeral = Numeral.parse(text)
    assert " ".join(str(name) for name in numeral.suspended(Key.parse(key))) == held


def test_the_three_names_of_the_cadential_six_four_are_one_chord():
    key = Key.parse("E major")
    chords = {Numeral.parse(text).chord(key) for text in ("Cad64", "V(64)", "I64")}
    assert len(chords) == 1


def test_augmented_sixths_have_no_root():
    chord = Numeral.parse("Fr43").chord(Key.parse("C minor"))
    assert chord.root is None
    assert chord.spelling == chord.from_bass == ("Ab", "C", "D", "F#")
    assert numeral_for(chord, Key.parse("C minor")) == Numeral.parse("Fr43")


@pytest.mark.parametrize("name", ["It", "Fr", "Ger"])
def test_every_position_of_an_augmented_sixth_has_its_label(name):
    key = Key.parse("E minor")
    figures = AUGMENTED_SIXTH_BASSES[Special(name)]
    chords = {figure: Numeral.parse(name + figure).chord(key) for figure in figures}
    assert len({frozenset(chord.names) for chord in chords.values()}) == 1
    assert {chord.bass for chord in chords.values()} == set(chords[min(figures)].names)
    for figure, chord in chords.items():
        label = numeral_for(chord, key)
        # Ger6 and Fr6 are short for Ger65 and Fr43.
        assert str(label) == name + figure or figure == "6"
        assert label.chord(key).from_bass == chord.from_bass


def test_figures_of_a_tone_that_is_left_out():
    with pytest.raises(TheoryError, match="does not have") as caught:
        Numeral.parse("V43(no5)").chord(Key.parse("C major"))
    assert caught.value.text == "V43(no5)"


def test_extras_against_the_sign():
    with pytest.raises(TheoryError, match="raises it") as caught:
        Numeral.parse("iio#5").chord(Key.parse("C minor"))
    assert caught.value.text == "iio#5"


def test_what_a_numeral_says_of_itself():
    assert Numeral.parse("V43").inversion == 2
    assert (Numeral.parse("viio").roman, Numeral.parse("N6").roman) == ("vii", "")
    assert Numeral.parse("V(64)").is_cadential
    assert not Numeral.parse("I64").is_cadential


def test_parts_for_typesetting():
    parts = Numeral.parse("bVIImaj65(4-3)/V").parts
    assert (parts.accidental, parts.body, parts.sign, parts.figures) == (
        "b",
        "VII",
        "",
        ("maj6", "5"),
    )
    assert parts.suspensions == (("4", "3"),)
    assert parts.applied_to.body == "V"
    assert Numeral.parse("V(64)").parts.parenthesised
    assert Numeral.parse("iiø65").parts.sign == "ø"
    assert Numeral.parse("N6").parts.body == "N"


@given(strategies.numerals)
def test_printing_and_reading_come_back(numeral):
    assert Numeral.parse(str(numeral)) == numeral


@given(strategies.numerals, strategies.keys, strategies.half_step_intervals)
def test_moving_the_key_moves_the_chord(numeral, key, interval):
    moved = Key(key.tonic + interval, key.mode)
    try:
        chord = numeral.chord(key)
    except TheoryError:
        with pytest.raises(TheoryError):
            numeral.chord(moved)
        return
    assert numeral.chord(moved).names == tuple(name + interval for name in chord.names)
    assert numeral.chord(moved).bass == chord.bass + interval


@given(strategies.numerals, strategies.printed_keys)
def test_the_way_back_names_the_same_chord(numeral, key):
    try:
        chord = numeral.chord(key)
    except TheoryError:
        return
    label = numeral_for(chord, key)
    if label is not None:
        assert chord in label.readings(key)


@pytest.mark.parametrize("mode", ["major", "minor"])
def test_every_diatonic_triad_and_seventh_has_its_label(mode):
    key = Key.parse(f"E {mode}")
    major = "I ii iii IV V vi viio Imaj7 ii7 iii7 IVmaj7 V7 vi7 viiø7 V65 ii43 viiø42 I6 vi64"
    minor = "i iio III iv v V VI VII viio i7 iiø7 IIImaj7 iv7 VImaj7 VII7 viio7 viio65 V43 iv6 III+"
    for text in (major if mode == "major" else minor).split():
        assert str(numeral_for(Numeral.parse(text).chord(key), key)) == text


@given(NUMERAL_TEXT)
def test_any_text_is_a_numeral_or_explained(text):
    check_any_text(Numeral.parse, text)


@given(NUMERAL_TEXT, strategies.keys)
def test_any_numeral_has_a_chord_or_is_explained(text, key):
    def parse(text):
        numeral = Numeral.parse(text)
        assert numeral.readings(key)[0] == numeral.chord(key)
        numeral.suspended(key)
        numeral.advice(key)

    check_any_text(parse, text)
