"""Keys: signatures without end, spelling, relations."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import Interval, Key, Mode, PitchName, Scale, TheoryError
from tests import strategies
from tests.cases import cases
from tests.theory.faults import check_any_text, check_fault

DATA = Path(__file__).parent / "data"
KEY_TEXT = st.tuples(
    st.text(alphabet="ABCDEFGHabchm#b♯♭(+50)4 -", max_size=4),
    st.sampled_from(["", " ", "-", "  "]),
    st.sampled_from(
        [mode.value for mode in Mode]
        + [
            "Moll",
            "dur",
            "min",
            "harmonic minor",
            "zz",
        ]
    ),
).map("".join)


def spelled(names):
    return " ".join(name.spelled for name in names)


@pytest.mark.parametrize("case", cases(DATA / "keys.tsv"))
def test_key(case):
    key = Key.parse(case["text"])
    assert key.signature == int(case["signature"])
    assert spelled(key.names) == " ".join(key.spelling) == case["spelling"]
    assert spelled(key.signature_names) == case["signature_names"]
    assert str(key.practical) == case["practical"]
    assert key.is_theoretical == (abs(int(case["signature"])) > 7)


@pytest.mark.parametrize("case", cases(DATA / "key_relations.tsv"))
def test_related_key(case):
    assert str(Key.parse(case["key"]).related(case["relation"])) == case["related"]


@pytest.mark.parametrize("case", cases(DATA / "key_faults.tsv"))
def test_bad_key_is_explained(case):
    check_fault(Key.parse, case)


def test_an_unknown_relation_is_explained():
    with pytest.raises(TheoryError, match="relative, parallel, dominant, subdominant"):
        Key.parse("C major").related("cousin")


def test_no_key_on_a_quarter_tone():
    with pytest.raises(TheoryError, match="quarter tones"):
        Key(PitchName.parse("E(-50)"), Mode.MAJOR)


# Common practice, no source: fifteen major and fifteen minor signatures make thirty keys.
@pytest.mark.parametrize("mode", [Mode.MAJOR, Mode.MINOR])
def test_fifteen_signatures_within_seven_accidentals(mode):
    tonics = [PitchName.from_fifths(fifths) for fifths in range(-15, 20)]
    real = [key for key in (Key(tonic, mode) for tonic in tonics) if not key.is_theoretical]
    assert sorted(key.signature for key in real) == list(range(-7, 8))


def test_degrees_and_their_alteration():
    key = Key.parse("C minor")
    assert key.degree(PitchName.parse("B")) == (7, 100)
    assert key.degree(PitchName.parse("Bb")) == (7, 0)
    assert key.degree(PitchName.parse("Db")) == (2, -100)
    assert key.contains(PitchName.parse("Eb"))
    assert not key.contains(PitchName.parse("D#"))


def test_a_key_is_shown_with_the_signs_of_music():
    assert Key.parse("F## minor").display == "F𝄪 minor"
    assert Key.parse("Db dorian").display == "D♭ dorian"


@given(strategies.keys)
def test_printing_and_reading_is_identity(key):
    assert Key.parse(str(key)) == key
    assert Key.of_signature(key.signature, key.mode) == key


@given(strategies.keys)
def test_the_signature_is_what_the_spelling_alters(key):
    altered = {name for name in key.names if name.cents_altered}
    assert set(key.signature_names) == altered
    assert sum(name.accidentals for name in key.names) == key.signature


@given(strategies.keys)
def test_a_key_has_the_notes_of_its_scale(key):
    assert key.names == Scale.parse(str(key)).names
    assert [key.degree(name) for name in key.names] == [(n, 0) for n in range(1, 8)]


@given(strategies.keys)
def test_the_practical_key_sounds_alike_and_can_be_printed(key):
    practical = key.practical
    assert not practical.is_theoretical
    assert practical.tonic.sounds_like(key.tonic)
    assert practical.mode is key.mode
    assert practical.practical == practical
    if key.is_theoretical:
        assert abs(practical.signature) <= 6


@given(strategies.keys)
def test_relations_lead_back(key):
    assert key.related("dominant").related("subdominant") == key
    assert key.related("relative").signature == key.signature
    assert key.related("parallel").tonic == key.tonic
    assert key.related("dominant").tonic == key.tonic + Interval.parse("P5")
    if key.mode in (Mode.MAJOR, Mode.MINOR):
        assert key.related("relative").related("relative") == key
        assert key.related("parallel").related("parallel") == key


@given(KEY_TEXT | st.text(max_size=20))
def test_any_text_gives_a_value_or_a_placed_fault(text):
    check_any_text(Key.parse, text)


# --- music21 as the outside judge --------------------------------------------------------------

SCALES_OF_MODES = {
    Mode.MAJOR: "MajorScale",
    Mode.MINOR: "MinorScale",
    Mode.IONIAN: "MajorScale",
    Mode.DORIAN: "DorianScale",
    Mode.PHRYGIAN: "PhrygianScale",
    Mode.LYDIAN: "LydianScale",
    Mode.MIXOLYDIAN: "MixolydianScale",
    Mode.AEOLIAN: "MinorScale",
    Mode.LOCRIAN: "LocrianScale",
}


def our_name(theirs):
    return theirs.name.replace("-", "b")


@pytest.mark.parametrize("mode", Mode)
def test_keys_from_twelve_flats_to_twelve_sharps_agree_with_music21(mode):
    from music21 import key as music21_key
    from music21 import scale as music21_scale

    for signature in range(-12, 13):
        ours = Key.of_signature(signature, mode)
        tonic = ours.tonic.spelled.replace("b", "-")
        theirs = getattr(music21_scale, SCALES_OF_MODES[mode])(tonic)
        assert [our_name(pitch) for pitch in theirs.pitches[:-1]] == [
            name.spelled for name in ours.names
        ]
        # Their signature of a tonic and mode is counted without asking for the scale.
        assert music21_key.Key(tonic, mode.value).sharps == signature


@pytest.mark.parametrize("signature", range(-7, 8))
def test_printed_signatures_agree_with_music21(signature):
    from music21 import key as music21_key

    theirs = music21_key.KeySignature(signature).alteredPitches
    ours = Key.of_signature(signature).signature_names
    assert [our_name(pitch) for pitch in theirs] == [name.spelled for name in ours]
