"""Chords under one hand: known shapes, and what every shape must keep to."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.figures.fingering import Fingering, cost, finger_chord, finger_pitches
from stavewright.theory import Chord, Pitch, PitchName
from tests.cases import Case, cases
from tests.figures.views.blocks import PATH

GUITAR = tuple(Pitch.parse(name) for name in ["E2", "A2", "D3", "G3", "B3", "E4"])
UKULELE = tuple(Pitch.parse(name) for name in ["G4", "C4", "E4", "A4"])
_SUFFIXES = (
    "",
    "m",
    "7",
    "maj7",
    "m7",
    "m7b5",
    "dim7",
    "aug",
    "sus4",
    "6",
    "9",
    "m9",
    "13",
    "add9",
)
_ROOTS = ["C", "C#", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]
_TWELVE = [root for root in _ROOTS if root != "Db"]


def _text(found: Fingering | None) -> str:
    if found is None:
        return "none"
    return "".join("x" if fret is None else str(fret) for fret in found.frets)


@pytest.mark.parametrize("case", cases(PATH.with_name("fingerings.tsv")))
def test_known_shapes(case: Case) -> None:
    strings = tuple(map(Pitch.parse, case["strings"].split()))
    assert _text(finger_chord(strings, Chord.parse(case["chord"]))) == case["frets"]


@pytest.mark.parametrize("case", cases(PATH.with_name("written_fingerings.tsv")))
def test_written_notes(case: Case) -> None:
    found = finger_pitches(GUITAR, tuple(map(Pitch.parse, case["notes"].split())))
    assert _text(found) == case["frets"]
    assert found is None or found.is_moved == (case["moved"] == "yes")


def test_nothing_has_no_fingering() -> None:
    assert finger_pitches(GUITAR, ()) is None


def test_quarter_tone_strings_have_no_fingering() -> None:
    bent = (Pitch.parse("E(-50)2"), *GUITAR[1:])
    assert finger_chord(bent, Chord.parse("C")) is None


def _fingers(frets: tuple[int | None, ...]) -> int:
    """Fingers by laying them: one flat over the lowest fret, one flat at the highest strings."""
    pressed = [(string, fret) for string, fret in enumerate(frets) if fret]
    if not pressed:
        return 0
    lowest = min(fret for _, fret in pressed)
    low = [string for string, fret in pressed if fret == lowest]
    flat = not any(fret == 0 for fret in frets[low[0] :])
    used = 1 if flat else len(low)
    others = [(string, fret) for string, fret in pressed if fret != lowest]
    # What one more flat finger would stop from the highest sounding string downwards.
    sounding = [fret for fret in frets if fret is not None]
    run = 0
    while run < len(sounding) and sounding[-1 - run] == sounding[-1] != lowest:
        run += 1
    return used + len(others) - (run - 1 if run and sounding[-1] else 0)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(_ROOTS), st.sampled_from(_SUFFIXES), st.sampled_from([GUITAR, UKULELE]))
def test_a_fingering_sounds_its_chord_under_one_hand(
    root: str, suffix: str, strings: tuple[Pitch, ...]
) -> None:
    chord = Chord.parse(root + suffix)
    found = finger_chord(strings, chord)
    if found is None:
        assert strings is UKULELE
        return
    pressed = [fret for fret in found.frets if fret]
    assert max(pressed, default=1) - min(pressed, default=1) <= 3
    assert _fingers(found.frets) <= 4
    numbers = {
        string.key_number + fret: name
        for string, fret, name in zip(strings, found.frets, found.names, strict=True)
        if fret is not None and name is not None
    }
    assert all(number % 12 == name.pitch_class for number, name in numbers.items())
    sounding = set(numbers.values())
    assert {tone.name for tone in chord.required} <= sounding
    assert sounding | set(found.missing) == set(chord.names)
    assert not sounding & set(found.missing)
    assert found.has_bass == (numbers[min(numbers)] == chord.bass)
    assert found.has_bass or strings is UKULELE


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from([None, 0, 1, 2, 3]), min_size=6, max_size=6), st.integers(0, 7))
def test_whatever_a_hand_can_play_is_found(frets: list[int | None], base: int) -> None:
    """Take a shape, read its notes, and ask for them: the very notes must come back."""
    shape = tuple(fret + base if fret else fret for fret in frets)
    sounding = [s.key_number + f for s, f in zip(GUITAR, shape, strict=True) if f is not None]
    if not sounding or len(set(sounding)) < len(sounding) or _fingers(shape) > 4:
        return
    pitches = tuple(_pitch(int(number)) for number in sounding)
    found = finger_pitches(GUITAR, pitches)
    assert found is not None
    assert not found.is_moved
    again = [s.key_number + f for s, f in zip(GUITAR, found.frets, strict=True) if f is not None]
    assert sorted(again) == sorted(sounding)


@given(st.lists(st.sampled_from([None, 0, 2, 3, 4, 5]), max_size=7), st.data())
def test_a_fingering_costs_no_less_than_what_it_begins_with(
    frets: list[int | None], data: st.DataObject
) -> None:
    """By this the search leaves out what begins worse than the best that it has found."""
    base = 2 if any(frets) else 0
    whole = (*frets, base)
    begun = whole[: data.draw(st.integers(0, len(whole)))]
    mutes = data.draw(st.sampled_from([(2, 4), (4, 4), (2, 0)]))
    least = cost(begun, len(whole) - len(begun), base, mutes, missing=0)
    assert least <= cost(whole, 0, base, mutes, missing=0)


def _pitch(number: int) -> Pitch:
    return PitchName.parse(_TWELVE[number % 12]).at(number // 12 - 1)
