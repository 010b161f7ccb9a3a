"""Which key some notes are in, which keys lie near one another, and what each costs to write."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import (
    Key,
    Mode,
    Pitch,
    PitchName,
    TheoryError,
    closely_related,
    enharmonic_keys,
    find_keys,
)
from stavewright.theory.key_finding import PROFILES
from stavewright.theory.key_relations import are_closely_related, sounds_alike
from tests import strategies
from tests.cases import cases

DATA = Path(__file__).parent / "data"
durations = st.fractions(min_value=Fraction(1, 64), max_value=8, max_denominator=64)
simple_names = st.integers(-8, 12).map(PitchName.from_fifths)
notes = st.lists(st.tuples(simple_names, durations), min_size=1, max_size=20)


def read_notes(text):
    for each in text.split():
        pitch, time = each.split(":")
        yield Pitch.parse(pitch), Fraction(time)


@pytest.mark.parametrize("case", cases(DATA / "key_finding.tsv"))
def test_the_key_of_some_notes(case):
    first, *others = find_keys(read_notes(case["notes"]))
    assert str(first.key) == case["key"]
    assert first.is_clear == bool(case["clear"])
    assert len(others) == 23


def test_the_profiles_are_those_of_the_outside_library():
    discrete = pytest.importorskip("music21.analysis.discrete")
    judge = discrete.KrumhanslKessler()
    assert list(PROFILES[Mode.MAJOR]) == judge.getWeights("major")
    assert list(PROFILES[Mode.MINOR]) == judge.getWeights("minor")


@pytest.mark.parametrize("seed", range(8))
def test_correlations_are_those_of_the_outside_library(seed):
    # music21 10's KrumhanslKessler: the same method by other hands.
    stream, note, discrete = (
        pytest.importorskip(f"music21.{part}") for part in ("stream", "note", "analysis.discrete")
    )
    chance = Random(seed)
    names = [PitchName.from_fifths(chance.randint(-4, 6)) for _ in range(12)]
    drawn = [(name, Fraction(chance.randint(1, 8), 2)) for name in names]
    melody = stream.Stream()
    for name, time in drawn:
        spelled = name.spelled.replace("b", "-")
        melody.append(note.Note(f"{spelled}4", quarterLength=float(time)))
    judge = discrete.KrumhanslKessler()
    found = judge.getSolution(melody)
    fits = find_keys(drawn)
    theirs = {
        (key.tonic.pitchClass, key.mode): key.correlationCoefficient
        for key in [found, *found.alternateInterpretations]
    }
    ours = {(fit.key.tonic.pitch_class, fit.key.mode.value): fit.correlation for fit in fits}
    assert ours == pytest.approx(theirs, abs=1e-9)
    assert (found.tonic.pitchClass, found.mode) == next(iter(ours))


def test_a_key_is_told_with_its_margin():
    first, second, *_ = find_keys(read_notes("C4:2 D4:1 E4:2 F4:1 G4:2 A4:1 B4:1 F#4:1"))
    assert first.words == (
        f"C major: fits {first.correlation:.2f}, ahead by {first.margin:.2f}; 91 % of the time in "
        "its notes"
    )
    assert first.share == Fraction(10, 11)
    assert second.margin == -first.margin
    assert "behind by" in second.words
    assert not second.is_clear


def test_what_has_no_key():
    chromatic = [(PitchName.from_fifths(fifths), Fraction(1)) for fifths in range(-5, 7)]
    with pytest.raises(TheoryError, match="equally long"):
        find_keys(chromatic)
    with pytest.raises(TheoryError, match="No notes"):
        find_keys([])
    with pytest.raises(TheoryError, match="No notes"):
        find_keys([(Pitch.parse("B(-50)4"), Fraction(1))])
    with pytest.raises(TheoryError, match="less than nothing"):
        find_keys([(Pitch.parse("C4"), Fraction(-1))])


@given(notes)
def test_keys_are_ranked_and_the_order_of_notes_is_nothing(drawn):
    try:
        fits = find_keys(drawn)
    except TheoryError:
        return
    assert find_keys(reversed(drawn)) == fits
    assert [f.correlation for f in fits] == sorted((f.correlation for f in fits), reverse=True)
    assert all(-1 <= f.correlation <= 1 and 0 <= f.share <= 1 for f in fits)
    assert len({(f.key.tonic.cents, f.key.mode) for f in fits}) == 24


@given(notes, st.integers(-3, 3))
def test_moving_the_notes_moves_the_key(drawn, fifths):
    try:
        first, _second, *_ = find_keys(drawn)
    except TheoryError:
        return
    moved = [(PitchName.from_fifths(name.fifths + fifths), time) for name, time in drawn]
    best = find_keys(moved)[0]
    assert best.correlation == pytest.approx(first.correlation)
    if first.margin > 0.001:
        tonic = PitchName.from_fifths(first.key.tonic.fifths + fifths)
        assert best.key.tonic.cents == tonic.cents
        assert best.key.mode is first.key.mode


@given(strategies.printed_keys.filter(lambda key: key.mode in PROFILES))
def test_a_scale_with_its_triad_dwelt_on_is_in_its_key_as_it_is_written(key):
    weights = [4, 1, 2, 1, 3, 1, 1]
    first, *_ = find_keys(zip(key.names, map(Fraction, weights), strict=True))
    assert first.key == key
    assert first.share == 1


@pytest.mark.parametrize("case", cases(DATA / "enharmonic_keys.tsv"))
def test_what_each_way_to_write_a_key_costs(case):
    found = enharmonic_keys(Key.parse(case["key"]))
    costs = [f"{each.key} {each.accidentals}" for each in found]
    if case["title"].startswith("triple"):
        assert str(found[-1].key) == "B## major"
        costs = costs[:-1]
        assert sorted(costs) == case["costs"].split(", ")
    else:
        assert costs == case["costs"].split(", ")


def test_the_costs_in_words():
    words = [each.words for each in enharmonic_keys(Key.parse("D# major"))]
    assert words == ["Eb major: 3 flats", "D# major: 9 sharps, 2 letters with a double sharp"]
    assert enharmonic_keys(Key.parse("C major"))[0].words == "C major: no sharps or flats"
    assert enharmonic_keys(Key.parse("F major"))[0].words == "F major: 1 flat"
    assert "one letter" in enharmonic_keys(Key.parse("Fb major"))[-1].words


@pytest.mark.parametrize("case", cases(DATA / "close_keys.tsv"))
def test_closely_related_keys(case):
    found = closely_related(Key.parse(case["key"]))
    assert ", ".join(map(str, found)) == case["close"]


@given(strategies.keys)
def test_near_keys_are_near_both_ways(key):
    assert key not in closely_related(key)
    for other in closely_related(key):
        assert are_closely_related(key, other)
        assert len(set(key.names) & set(other.names)) >= 6
        if key.mode in PROFILES:
            assert key in closely_related(other)


@given(strategies.keys)
def test_enharmonic_keys_sound_alike(key):
    found = enharmonic_keys(key)
    assert key in [each.key for each in found]
    assert all(sounds_alike(key, each.key) for each in found)
    assert len({each.key for each in found}) == len(found)
