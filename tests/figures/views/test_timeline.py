"""When notes sound: cases worked out by hand, and laws."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.figures.timeline import TempoMap, onsets, seconds_per_whole, swung
from stavewright.notation.score import Score, Swing, Tempo, TempoChange
from tests.cases import Case, cases
from tests.figures.views.blocks import PATH, score_of

times = st.fractions(-2, 50, max_denominator=960)
tempos = st.builds(
    Tempo,
    st.sampled_from([Fraction(1, 8), Fraction(1, 4), Fraction(3, 8), Fraction(1, 2)]),
    st.fractions(20, 400, max_denominator=10),
)
changes = st.lists(
    st.builds(TempoChange, st.fractions(0, 40, max_denominator=16), tempos), max_size=5
).map(tuple)
maps = st.builds(
    lambda tempo, changed: TempoMap.of(Score(tempo=tempo, tempo_changes=changed)),
    st.none() | tempos,
    changes,
)
swings = st.builds(
    Swing,
    st.sampled_from([Fraction(1, 8), Fraction(1, 16)]),
    st.fractions(1, 5, max_denominator=4),
    st.fractions(1, 5, max_denominator=4),
)


@pytest.mark.parametrize("case", cases(PATH.with_name("onsets.tsv")))
def test_onsets(case: Case) -> None:
    fields = case["fields"].replace("; ", "\n")
    score = score_of(f"{fields}\nnotes: {case['notes']}\n")
    hit = sorted(onsets(score), key=lambda onset: onset.written)[int(case["hit"])]
    assert hit.sounding == Fraction(case["sounding"])
    gap = hit.seconds - TempoMap.of(score).seconds_at(hit.written)
    assert float(gap * 1000) == pytest.approx(float(case["ms"]), abs=0.001)
    assert hit.offset == hit.sounding - hit.written
    assert hit.shift == hit.sounding - hit.swung


def test_a_tie_lengthens_the_note_that_is_struck() -> None:
    score = score_of("time: 4/4\nnotes: 1/4 C4_ C4_ C4 D4 | 1/1 C4&E4_ | C4&E4")
    durations = [(str(hit.head.sound), hit.duration) for hit in onsets(score)]
    assert durations == [
        ("C4", Fraction(3, 4)),
        ("D4", Fraction(1, 4)),
        ("C4", 1),
        ("E4", 2),
        ("C4", 1),
    ]


@given(maps, times, times)
def test_later_is_later(tempo_map: TempoMap, one: Fraction, other: Fraction) -> None:
    assert (one < other) == (tempo_map.seconds_at(one) < tempo_map.seconds_at(other))


@given(maps)
def test_the_beginning_is_zero_and_tempos_join(tempo_map: TempoMap) -> None:
    assert tempo_map.seconds_at(Fraction(0)) == 0
    for start, seconds in zip(tempo_map.starts, tempo_map.seconds, strict=True):
        assert tempo_map.seconds_at(start) == seconds
    for before, after in pairwise(range(len(tempo_map.starts))):
        length = tempo_map.starts[after] - tempo_map.starts[before]
        lasts = tempo_map.seconds[after] - tempo_map.seconds[before]
        assert lasts == length * seconds_per_whole(tempo_map.tempos[before])


@given(maps, times, st.fractions(0, 1, max_denominator=1000))
def test_seconds_become_whole_notes_and_back(
    tempo_map: TempoMap, at: Fraction, seconds: Fraction
) -> None:
    length = tempo_map.whole_notes(at, seconds)
    assert length * seconds_per_whole(tempo_map.tempo_at(at)) == seconds


@given(swings, st.integers(0, 20), st.fractions(0, 4, max_denominator=8))
def test_swing_keeps_pairs_and_moves_their_middle(
    swing: Swing, pair: int, bar_start: Fraction
) -> None:
    start = bar_start + pair * 2 * swing.unit
    assert swung(start, bar_start, swing) == start
    middle = swung(start + swing.unit, bar_start, swing)
    assert middle == start + 2 * swing.unit * swing.long / (swing.long + swing.short)


@given(swings, times, times, st.fractions(0, 4, max_denominator=8))
def test_swing_never_turns_notes_round(
    swing: Swing, one: Fraction, other: Fraction, bar_start: Fraction
) -> None:
    before, after = swung(one, bar_start, swing), swung(other, bar_start, swing)
    assert (one < other) == (before < after)


@given(times, st.fractions(0, 4, max_denominator=8))
def test_even_swing_is_none(time: Fraction, bar_start: Fraction) -> None:
    assert swung(time, bar_start, Swing(Fraction(1, 8), Fraction(1), Fraction(1))) == time
    assert swung(time, bar_start, None) == time
