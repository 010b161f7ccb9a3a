"""Whole ticks and microseconds are those that Python's own rounding gives."""

from fractions import Fraction

from hypothesis import example, given
from hypothesis import strategies as st

from stavewright.figures.timeline import nearest


@given(st.fractions(), st.integers(1, 10**7))
@example(Fraction(1, 2), 1)
@example(Fraction(3, 2), 1)
@example(Fraction(-1, 2), 1)
def test_nearest_is_round(value: Fraction, parts: int) -> None:
    assert nearest(value, parts) == round(value * parts)
