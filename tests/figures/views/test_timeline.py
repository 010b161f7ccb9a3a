"""When notes sound: cases worked out by hand, and laws."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.figures.timeline import TempoMap, onsets, seconds_per_whole, swung
from stavewright.notation.score import Swing
from tests.cases import Case, cases
from tests.figures.views.blocks import PATH, score_of
from tests.strategies import score_times, tempo_maps

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


@pytest.mark.parametrize("swing", ["", "swing: 1/8 2:1\n"])
def test_a_group_of_bare_heads_takes_no_time(swing: str) -> None:
    hits = onsets(score_of(f"{swing}notes: 3:2(C4 D4 E4) F4"))
    assert [(str(hit.head.sound), hit.sounding) for hit in hits] == [
        (pitch, 0) for pitch in ("C4", "D4", "E4", "F4")
    ]


@given(tempo_maps, score_times, score_times)
def test_later_is_later(tempo_map: TempoMap, one: Fraction, other: Fraction) -> None:
    assert (one < other) == (tempo_map.seconds_at(one) < tempo_map.seconds_at(other))


@given(tempo_maps)
def test_the_beginning_is_zero_and_tempos_join(tempo_map: TempoMap) -> None:
    assert tempo_map.seconds_at(Fraction(0)) == 0
    for start, seconds in zip(tempo_map.starts, tempo_map.seconds, strict=True):
        assert tempo_map.seconds_at(start) == seconds
    for before, after in pairwise(range(len(tempo_map.starts))):
        length = tempo_map.starts[after] - tempo_map.starts[before]
        lasts = tempo_map.seconds[after] - tempo_map.seconds[before]
        assert lasts == length * seconds_per_whole(tempo_map.tempos[before])


@given(tempo_maps, score_times, st.fractions(0, 1, max_denominator=1000))
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


@given(swings, score_times, score_times, st.fractions(0, 4, max_denominator=8))
def test_swing_never_turns_notes_round(
    swing: Swing, one: Fraction, other: Fraction, bar_start: Fraction
) -> None:
    before, after = swung(one, bar_start, swing), swung(other, bar_start, swing)
    assert (one < other) == (before < after)


@given(score_times, st.fractions(0, 4, max_denominator=8))
def test_even_swing_is_none(time: Fraction, bar_start: Fraction) -> None:
    assert swung(time, bar_start, Swing(Fraction(1, 8), Fraction(1), Fraction(1))) == time
    assert swung(time, bar_start, None) == time
