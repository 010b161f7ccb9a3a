"""Times in whole numbers stand as the times themselves do; so does what is worked out from them."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from stavewright.checking.sounding import Note, depth, in_ticks
from stavewright.theory.pitch import Pitch

_TIMES = st.fractions(min_value=-4, max_value=40, max_denominator=96)
_STAYS = st.lists(
    st.tuples(_TIMES, st.fractions(min_value=Fraction(1, 96), max_value=8, max_denominator=96)),
    max_size=12,
)


@given(st.lists(_TIMES))
def test_ticks_are_the_times_counted_in_one_part(times: list[Fraction]) -> None:
    ticks, parts = in_ticks(times)
    assert [Fraction(tick, parts) for tick in ticks] == times


@given(_STAYS, _TIMES, _TIMES)
def test_depth_is_the_most_notes_at_any_attack(
    stays: list[tuple[Fraction, Fraction]], one: Fraction, other: Fraction
) -> None:
    start, end = min(one, other), max(one, other)
    notes = [
        Note(at, Pitch.parse("C4"), begins, begins + lasts, 0, at, None)
        for at, (begins, lasts) in enumerate(stays)
    ]
    # Nothing grows deeper but where something is struck, or where one begins to listen.
    moments = [max(note.start, start) for note in notes if note.start < end]
    there = [sum(n.start <= at < n.end for n in notes) for at in moments if at < end]
    assert depth(notes, start, end) == max(there, default=0)
