"""Ratios, cents and hertz; equal divisions of the octave.

A just interval is a ratio of frequencies, exact as a Fraction; a cent is the hundredth part of an
equal-tempered half step, 1200 to the octave (A. J. Ellis, 1885). Cents of a ratio are irrational
but for octaves, so they are given as a Decimal rounded to as many places as are asked for, every
one of them right.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from typing import Final

from stavewright.theory.errors import TheoryError
from stavewright.theory.tuning_text import read_ratio

OCTAVE_CENTS: Final = 1200
_SPARE_DIGITS: Final = 15
_MOST_PLACES: Final = 50


def cents_of(ratio: Fraction, places: int = 3) -> Decimal:
    """Give the cents of a ratio, right to `places` decimals (0 to 50); negative below 1.

    Raises TheoryError for a ratio that is not positive.
    """
    if ratio <= 0:
        raise TheoryError("A ratio of frequencies is greater than nothing", str(ratio))
    if not 0 <= places <= _MOST_PLACES:
        raise ValueError(f"cents have from 0 to {_MOST_PLACES} decimals")
    digits = len(str(ratio.numerator)) + len(str(ratio.denominator))
    context = Context(prec=places + digits + _SPARE_DIGITS)
    # One logarithm of the quotient: the difference of two would lose digits for small commas.
    quotient = context.divide(Decimal(ratio.numerator), Decimal(ratio.denominator))
    octaves = context.divide(context.ln(quotient), context.ln(Decimal(2)))
    cents = context.multiply(Decimal(OCTAVE_CENTS), octaves)
    # Adding nothing turns the -0.000 of a ratio just below 1 into 0.000.
    return context.add(cents.quantize(Decimal(1).scaleb(-places), context=context), Decimal(0))


def ratio_near(cents: Decimal | int, within: Decimal | int = 1) -> Fraction:
    """Give the simplest ratio (the least denominator) within so many cents of a size.

    386 within 1 is 5/4. Raises ValueError unless `within` is positive.
    """
    if within <= 0:
        raise ValueError("a ratio is sought within more than no cents")
    low, high = (_ratio(Decimal(cents) + side * Decimal(within)) for side in (-1, 1))
    return _simplest(low, high)


def hertz_above(base: Fraction, ratio: Fraction) -> Fraction:
    """Give the frequency a ratio above another, exact: 5/4 above 440 Hz is 550 Hz."""
    if base <= 0 or ratio <= 0:
        raise TheoryError("Frequencies and their ratios are greater than nothing", str(base))
    return base * ratio


def parse_ratio(text: str) -> Fraction:
    """Read `3/2` or `3:2`; raises TheoryError with a place."""
    return read_ratio(text)


@dataclass(frozen=True, slots=True)
class EqualDivision:
    """An octave in so many equal steps: 12 is the common temperament, 24 has quarter tones.

    Raises ValueError for less than one step.
    """

    steps: int

    def __post_init__(self) -> None:
        if self.steps < 1:
            raise ValueError(f"no octave has {self.steps} steps")

    @property
    def step(self) -> Fraction:
        """Cents of one step."""
        return Fraction(OCTAVE_CENTS, self.steps)

    def cents(self, count: int) -> Fraction:
        """Give the cents of so many steps."""
        return count * self.step

    def nearest(self, ratio: Fraction) -> tuple[int, Decimal]:
        """Give the steps nearest to a ratio, and by how many cents they exceed it, to 3 places.

        A fifth, 3/2, is 7 of 12 steps and 1.955 cents narrow: (7, -1.955).
        """
        exact = cents_of(ratio, 12)
        count = round(Fraction(exact) / self.step)
        excess = Fraction(count * self.step) - Fraction(exact)
        rounded = round(excess * 1000)
        return count, Decimal(rounded).scaleb(-3)

    @property
    def words(self) -> str:
        """`24 equal steps of 50 cents`; a step that is no whole number as a fraction."""
        return f"{self.steps} equal step{'s' if self.steps > 1 else ''} of {self.step} cents"


def _ratio(cents: Decimal) -> Fraction:
    """Give a ratio of so many cents, to forty digits."""
    context = Context(prec=40)
    octaves = context.divide(cents, Decimal(OCTAVE_CENTS))
    return Fraction(context.power(Decimal(2), octaves))


def _simplest(low: Fraction, high: Fraction) -> Fraction:
    """Give the fraction of least denominator from `low` to `high`, walking the continued fraction.

    Where a whole number lies between it is the answer; else the whole part is shared and the
    simplest fraction between the reciprocals of what is over decides.
    """
    whole = low.numerator // low.denominator
    if whole == low or whole + 1 <= high:
        return Fraction(whole if whole == low else whole + 1)
    return whole + 1 / _simplest(1 / (high - whole), 1 / (low - whole))
