"""Whole ticks and microseconds are those that Python's own rounding gives."""

from fractions import Fraction

from hypothesis import example, given
from hypothesis import strategies as st

from stavewright.figures.timeline import nearest


@given(st.integers(), st.integers(1, 10**7))
@example(1, 2)
@example(3, 2)
@example(-1, 2)
def test_nearest_is_round(number: int, parts: int) -> None:
    assert nearest(number, parts) == round(Fraction(number, parts))
