"""The law of all that is offered for pasting: the check finds nothing in it."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.articles.worked.beat import beat_answer
from stavewright.articles.worked.chord import chord_answer
from stavewright.articles.worked.interval import interval_answer
from stavewright.articles.worked.key import key_answer
from stavewright.articles.worked.name import name_answer
from stavewright.articles.worked.note import note_answer
from stavewright.articles.worked.numeral import numeral_answer
from stavewright.articles.worked.scale import scale_answer
from stavewright.checking.check import check_block
from stavewright.checking.claims import check_claim
from stavewright.notation import parse_block
from stavewright.notation.claims import parse_claim
from stavewright.theory import (
    SCALE_KINDS,
    BeatName,
    Chord,
    Interval,
    Key,
    Meter,
    Mode,
    Numeral,
    Pitch,
    PitchName,
    Scale,
    ScaleKind,
    SuffixRow,
    TheoryError,
    suffixes,
)
from tests import strategies

if TYPE_CHECKING:
    from stavewright.articles.worked.answer import Answer

NAMES = [PitchName.from_fifths(fifths) for fifths in range(-15, 20)]
"""From triple flats to triple sharps."""
ROOTS = [PitchName.parse(text) for text in ("C", "F#", "Bb", "D#", "Gb", "Ebb")]


def assert_holds(answer: Answer) -> None:
    assert answer.rows or answer.notes
    assert all(row.name and row.value for row in answer.rows)
    if answer.claim is not None:
        claim = parse_claim(answer.claim)
        assert claim is not None, answer.claim
        assert claim.sign is not None, answer.claim
        assert claim.statement is not None, answer.claim
        assert check_claim(claim) == (), answer.claim
    if answer.block is not None:
        block = parse_block(answer.block)
        assert check_block(block) == (), answer.block
        assert "`" not in answer.block


@pytest.mark.parametrize("mode", Mode, ids=str)
def test_every_key(mode: Mode) -> None:
    for tonic in NAMES:
        answer = key_answer(f"{tonic} {mode}")
        assert answer.claim is not None
        assert answer.block is not None
        assert_holds(answer)


@pytest.mark.parametrize("kind", SCALE_KINDS, ids=lambda kind: kind.name)
def test_every_scale(kind: ScaleKind) -> None:
    for tonic in ROOTS:
        answer = scale_answer(f"{tonic} {kind.name}")
        assert answer.claim is not None
        assert answer.block is not None
        assert_holds(answer)


@settings(max_examples=100, deadline=None)
@given(strategies.scales)
def test_any_scale(scale: Scale) -> None:
    try:
        answer = scale_answer(str(scale))
    except TheoryError:
        return
    assert_holds(answer)


@pytest.mark.parametrize("row", suffixes(), ids=lambda row: row.canonical)
def test_every_suffix_on_many_roots(row: SuffixRow) -> None:
    suffix = row.canonical
    for root in ROOTS:
        symbol = f"{root}({suffix})" if suffix[:1] in ("b", "#") else f"{root}{suffix}"
        for text in (symbol, f"{symbol}/{root}", f"{symbol}/D", f"{symbol} in A minor"):
            answer = chord_answer(text)
            assert answer.claim is not None
            assert answer.block is not None
            assert_holds(answer)


@settings(max_examples=150, deadline=None)
@given(strategies.chords, strategies.keys)
def test_any_chord_in_any_key(chord: Chord, key: Key) -> None:
    assert_holds(chord_answer(str(chord), key))


@settings(max_examples=200, deadline=None)
@given(strategies.pitches, strategies.pitches)
def test_any_two_pitches(low: Pitch, high: Pitch) -> None:
    assert_holds(interval_answer(f"{low} to {high}"))
    assert_holds(interval_answer(f"{low.name} {high.name}"))
    assert_holds(name_answer(f"{low} {high}"))


@settings(max_examples=100, deadline=None)
@given(strategies.any_intervals, strategies.pitches)
def test_any_interval_by_name(interval: Interval, start: Pitch) -> None:
    for text in (interval.short, interval.name):
        assert_holds(interval_answer(text))
        assert_holds(interval_answer(text, start))
        assert_holds(interval_answer(text, start.name))


@settings(max_examples=250, deadline=None)
@given(strategies.numerals, strategies.keys)
def test_any_numeral_in_any_key(numeral: Numeral, key: Key) -> None:
    try:
        answer = numeral_answer(str(numeral), key)
    except TheoryError:
        return
    assert answer.claim is not None
    assert_holds(answer)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(strategies.plain_pitches, min_size=1, max_size=7),
    st.none() | strategies.keys,
)
def test_any_notes(pitches: list[Pitch], key: Key | None) -> None:
    assert_holds(name_answer(" ".join(map(str, pitches)), key))


@settings(max_examples=150, deadline=None)
@given(strategies.chords, st.integers(2, 5), strategies.printed_keys)
def test_the_notes_of_any_chord(chord: Chord, octave: int, key: Key) -> None:
    low = chord.bass.at(octave)
    notes = [low, *(name.above(low) for name in chord.names)]
    assert_holds(name_answer(" ".join(map(str, notes))))
    assert_holds(name_answer(" ".join(map(str, notes)), key))


@settings(max_examples=150, deadline=None)
@given(strategies.pitches)
def test_any_note(pitch: Pitch) -> None:
    assert_holds(note_answer(str(pitch)))
    assert_holds(note_answer(str(pitch), 415))
    assert_holds(note_answer(str(pitch.name)))


@settings(max_examples=200, deadline=None)
@given(strategies.meters, st.integers(0, 200), st.sampled_from((1, 2, 3, 4, 8, 12, 16, 32, 48)))
def test_any_place_in_any_metre_and_back(meter: Meter, count: int, parts: int) -> None:
    position = Fraction(count, parts * meter.unit) % meter.length
    answer = beat_answer(f"{position.numerator}/{position.denominator} in {meter}")
    assert_holds(answer)
    words = answer.rows[0].value
    assert words == BeatName.at(position, meter).words
    back = beat_answer(f"{words} in {meter}")
    assert (back.rows, back.claim, back.block) == (answer.rows, answer.claim, answer.block)


@pytest.mark.parametrize(
    "text", ["2/4", "3/4", "common", "cut", "5/4", "5/8", "6/8", "7/8", "2+2+3/8", "9/8", "12/8"]
)
@pytest.mark.parametrize("step", [Fraction(1, 32), Fraction(1, 24)], ids=["duple", "triple"])
def test_every_place_of_a_common_metre_can_be_pasted(text: str, step: Fraction) -> None:
    meter = Meter.parse(text)
    for count in range(1, int(meter.length / step)):
        position = count * step
        answer = beat_answer(f"{position.numerator}/{position.denominator} in {text}")
        assert answer.claim is not None
        assert answer.block is not None
        assert_holds(answer)
