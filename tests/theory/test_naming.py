"""Naming what sounds: likeliest first, ambiguity said plainly, spelling respected."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import Chord, Exactness, Key, Numeral, Pitch, TheoryError, name_chord
from tests import strategies
from tests.cases import cases

DATA = Path(__file__).parent / "data"


def name(notes, key=None, before=None, after=None):
    pitches = [Pitch.parse(note) for note in notes.split()]
    return name_chord(pitches, Key.parse(key) if key else None, neighbour(before), neighbour(after))


def neighbour(text):
    if not text:
        return None
    if text in ("Ger65", "It6"):
        return Numeral.parse(text).chord(Key.parse("C minor"))
    return Chord.parse(text)


@pytest.mark.parametrize("case", cases(DATA / "naming_in_context.tsv"))
def test_names_in_their_place(case):
    found = name(case["notes"], case["key"], case["before"], case["after"])
    expected = case["names"].split(", ")
    assert [candidate.symbol for candidate in found][: len(expected)] == expected
    assert str(found[0].numeral or "") == case["first_numeral"]
    assert case["reason"] in found[0].reason


@pytest.mark.parametrize("case", cases(DATA / "naming.tsv"))
def test_names(case):
    found = name(case["notes"], case["key"])
    expected = case["names"].split(", ")
    assert [candidate.symbol for candidate in found][: len(expected)] == expected
    assert found[0].exactness is Exactness[case["exactness"]]
    assert str(found[0].numeral or "") == case["first_numeral"]


def test_ambiguity_is_said():
    first, second, *_ = name("C4 E4 G4 A4")
    assert "Am7/C" in first.reason
    assert "C6" in second.reason
    assert "only the context decides" in first.reason
    assert "evenly" in name("C4 E4 G#4")[0].reason
    assert "evenly" in name("C4 Eb4 Gb4 Bbb4")[0].reason
    assert "without the root C" in name("E4 G4 Bb4 D5")[2].reason


def test_a_respelled_chord_without_its_fifth_says_both():
    (candidate,) = name("C3 E3 Bb3 Eb4")
    assert candidate.reason == (
        "C E Bb Eb sounds like C7#9 (dominant seventh with sharp ninth) without the fifth G, which "
        "is spelled C E Bb D#."
    )


def test_a_foreign_bass_is_said():
    slash = next(each for each in name("D3 C4 E4 G4") if each.symbol == "C/D")
    assert "none of its notes" in slash.reason
    assert str(slash) == "C/D"


def test_an_augmented_sixth_says_where_it_goes():
    usual, turned = (name(notes, "C minor")[0] for notes in ("Ab3 C4 F#4", "C4 F#4 Ab4"))
    assert "an Italian augmented sixth: its outer notes" in usual.reason
    assert "over C: its Ab and F# both move to the note between them" in turned.reason
    assert "a French" in name("Ab3 C4 D4 F#4", "C minor")[0].reason


def test_two_notes_are_an_interval():
    third = name("C4 E4")
    assert (third[0].chord, third[0].interval.name, third[0].symbol) == (None, "major third", "M3")
    assert len(third) == 1
    assert "interval" in third[0].reason
    fifth = name("C4 G4")
    assert [candidate.symbol for candidate in fifth] == ["P5", "C5"]
    assert [candidate.symbol for candidate in name("G3 C4 G4")] == ["P4", "C5/G"]
    assert name("C4 C5")[0].interval.name == "perfect octave"


def test_a_cluster_has_no_name():
    assert name("C4 C#4 D4") == ()
    assert name("C4 E4 G(-50)4") == ()
    assert name("B#3 C4 E4") == ()


def test_nothing_is_no_chord():
    with pytest.raises(TheoryError, match="No notes"):
        name_chord([])


def test_the_order_of_the_notes_does_not_matter():
    assert name("G4 C4 A4 E4") == name("C4 E4 G4 A4")


PLAIN = st.sampled_from(
    [
        "",
        "m",
        "dim",
        "aug",
        "7",
        "maj7",
        "m7",
        "m7b5",
        "dim7",
        "mMaj7",
        "7#5",
        "maj7#5",
        "9",
        "maj9",
    ]
)


@given(strategies.plain_names, PLAIN)
def test_a_chord_in_close_position_is_found_by_its_own_notes(root, suffix):
    chord = Chord.on(root, suffix)
    pitches = [root.at(4) + tone.interval for tone in chord.tones]
    first = name_chord(pitches)[0]
    assert first.chord == chord
    assert first.exactness is Exactness.COMPLETE


@given(st.lists(strategies.pitches, min_size=1, max_size=7), strategies.keys | st.none())
def test_any_notes_have_names_or_none(pitches, key):
    for candidate in name_chord(pitches, key):
        assert candidate.reason.endswith(".")
        if candidate.chord is not None and candidate.chord.root is not None:
            assert Chord.parse(candidate.symbol) == candidate.chord
        if candidate.numeral is not None:
            assert candidate.chord in candidate.numeral.readings(key)


@given(
    st.lists(strategies.plain_pitches, min_size=3, max_size=6),
    strategies.printed_keys,
    strategies.chords,
    strategies.chords,
)
def test_neighbours_reorder_names_and_take_none_away(pitches, key, before, after):
    alone = {c.symbol for c in name_chord(pitches, key)}
    placed = name_chord(pitches, key, before, after)
    assert alone <= {c.symbol for c in placed}
    assert {c.symbol for c in placed} - alone <= {c.symbol for c in placed if "addb6" in c.symbol}
