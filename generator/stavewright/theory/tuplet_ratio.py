"""Tuplets: so many notes in the time of so many others, one inside another if need be.

Lengths are Fractions of a whole note. A printed eighth in a triplet lasts 1/8 × 2/3 = 1/12; inside
a quintuplet that stands in that triplet a printed sixteenth lasts 1/16 × 2/3 × 4/5 = 1/30.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import prod
from typing import TYPE_CHECKING, Final

from stavewright.theory.errors import TheoryError

if TYPE_CHECKING:
    from collections.abc import Iterable

_RATIO: Final = re.compile(r"\s*(?P<actual>[0-9]{1,3})\s*:\s*(?P<normal>[0-9]{1,3})\s*")
_NAMES: Final = {
    2: "duplet",
    3: "triplet",
    4: "quadruplet",
    5: "quintuplet",
    6: "sextuplet",
    7: "septuplet",
    8: "octuplet",
    9: "nonuplet",
}
_USUAL: Final = {2: 3, 3: 2, 4: 3, 5: 4, 6: 4, 7: 4, 8: 6, 9: 8}
"""The number in whose time a group of that name is played where nothing else is said."""


@dataclass(frozen=True, slots=True)
class TupletRatio:
    """`3:2`, three in the time of two. Raises ValueError for a ratio that changes nothing."""

    actual: int
    """Notes that are played."""
    normal: int
    """Notes of the same value in whose time they are played."""

    def __post_init__(self) -> None:
        if self.actual < 1 or self.normal < 1 or self.actual == self.normal:
            raise ValueError(f"no group is played as {self.actual}:{self.normal}")

    @classmethod
    def parse(cls, text: str) -> TupletRatio:
        """Read `3:2`; raises TheoryError, with a suggestion for a bare figure or a name."""
        match = _RATIO.fullmatch(text)
        if match is None:
            message = "A group in another ratio is written as 3:2, three in the time of two"
            raise TheoryError(message, text, suggestion=_near(text))
        actual, normal = int(match["actual"]), int(match["normal"])
        if actual == 0 or normal == 0 or actual == normal:
            raise TheoryError(f"{actual} in the time of {normal} is no group", text)
        return cls(actual, normal)

    @classmethod
    def usual(cls, actual: int) -> TupletRatio | None:
        """Give the ratio of a group named after its number of notes; None where none is usual."""
        normal = _USUAL.get(actual)
        return None if normal is None else cls(actual, normal)

    @property
    def factor(self) -> Fraction:
        """What a printed value is multiplied by: 2/3 in a triplet."""
        return Fraction(self.normal, self.actual)

    @property
    def name(self) -> str:
        """`triplet`, `quintuplet`; where the ratio is not the usual one, `5 in the time of 3`."""
        if self == TupletRatio.usual(self.actual):
            return _NAMES[self.actual]
        return f"{self.actual} in the time of {self.normal}"

    def __str__(self) -> str:
        return f"{self.actual}:{self.normal}"


def lasting(printed: Fraction, ratios: Iterable[TupletRatio]) -> Fraction:
    """Give how long a printed value lasts inside groups; their order does not matter."""
    return printed * prod((ratio.factor for ratio in ratios), start=Fraction(1))


def printed_for(length: Fraction) -> tuple[Fraction, tuple[TupletRatio, ...]]:
    """Give the printed value and the nested groups in which it lasts `length`.

    One group for each odd prime of the denominator, the smaller number outside, each in the time of
    the next lower power of two: 1/12 is 1/8 in 3:2, and 1/30 is 1/16 in 5:4 in 3:2. Without an odd
    factor the length itself is printed. Raises TheoryError unless it is longer than nothing.
    """
    if length <= 0:
        raise TheoryError("A note lasts longer than nothing", str(length))
    odd = length.denominator // (length.denominator & -length.denominator)
    ratios = tuple(TupletRatio(p, 1 << (p.bit_length() - 1)) for p in _prime_factors(odd))
    return length / lasting(Fraction(1), ratios), ratios


def _prime_factors(number: int) -> list[int]:
    """Split an odd number into its primes, smallest first."""
    found, prime = [], 3
    while number > 1:
        if prime * prime > number:
            prime = number
        while number % prime == 0:
            found.append(prime)
            number //= prime
        prime += 2
    return found


def _near(text: str) -> str | None:
    """Find the ratio that a bare figure or a name such as `triplet` stands for."""
    word = text.strip().lower().removesuffix("s")
    for actual, name in _NAMES.items():
        if word in (str(actual), name):
            return str(TupletRatio.usual(actual))
    return None
