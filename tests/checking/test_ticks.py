"""Times in whole numbers stand as the times themselves do; so does what is worked out from them."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from stavewright.checking.sounding import Note, depth
from stavewright.checking.ticks import Ticks
from stavewright.theory.pitch import Pitch

_TIMES = st.fractions(min_value=-4, max_value=40, max_denominator=96)
_MOMENTS = st.integers(min_value=-40, max_value=400)
_STAYS = st.lists(st.tuples(_MOMENTS, st.integers(min_value=1, max_value=80)), max_size=12)


@given(st.lists(_TIMES))
def test_ticks_are_the_times_counted_in_one_part(times: list[Fraction]) -> None:
    ticks = Ticks.for_times(times)
    assert [ticks.time(ticks.count(time)) for time in times] == times
    assert [Fraction(ticks.count(time), ticks.parts) for time in times] == times


@given(_STAYS, _MOMENTS, _MOMENTS)
def test_depth_is_the_most_notes_at_any_attack(
    stays: list[tuple[int, int]], one: int, other: int
) -> None:
    start, end = min(one, other), max(one, other)
    notes = [_note(at, begins, begins + lasts) for at, (begins, lasts) in enumerate(stays)]
    # Nothing grows deeper but where something is struck, or where one begins to listen.
    moments = [max(note.onset, start) for note in notes if note.onset < end]
    there = [sum(n.onset <= at < n.release for n in notes) for at in moments if at < end]
    assert depth(notes, start, end) == max(there, default=0)


def _note(index: int, onset: int, release: int) -> Note:
    start, end = Fraction(onset, 96), Fraction(release, 96)
    return Note(index, Pitch.parse("C4"), start, end, 0, index, onset, release, None)
