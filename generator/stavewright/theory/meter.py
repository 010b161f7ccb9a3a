"""Metres: how long a bar is, and where its beats fall.

Lengths and positions are Fractions of a whole note. A sum such as 2+2+3/8 says the grouping; a
plain figure is grouped as it is counted: 6/8 in two dotted quarters, 3/4 in three quarters. A plain
5/8 or 7/8 leaves the grouping open and is counted in its units.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate
from typing import Final

from stavewright.theory.errors import TheoryError

_UNITS: Final = (1, 2, 4, 8, 16, 32, 64)
_MOST_UNITS: Final = 64
_METER: Final = re.compile(
    r"\s*(?P<groups>[0-9]{1,4}(?:\s*\+\s*[0-9]{1,4})*)\s*/\s*(?P<unit>[0-9]{1,4})\s*"
)
_FRACTION_SUM: Final = re.compile(r"[0-9]{1,2}/[0-9]{1,2}(?:\s*\+\s*[0-9]{1,2}/[0-9]{1,2})+")
_OTHER_WORDS: Final = {
    "c": "common",
    "common time": "common",
    "𝄴": "common",
    "c|": "cut",
    "¢": "cut",
    "𝄵": "cut",
    "cut time": "cut",
    "cut common": "cut",
    "alla breve": "cut",
    "waltz": "3/4",
}


class MeterSymbol(Enum):
    """The two signs that stand for figures."""

    COMMON = "common"
    """4/4."""
    CUT = "cut"
    """2/2."""


class MeterKind(Enum):
    """How a bar divides."""

    SIMPLE = "simple"
    """Beats that divide in two."""
    COMPOUND = "compound"
    """Beats that divide in three: 6, 9, 12 … units."""
    ADDITIVE = "additive"
    """Unequal or stated groups: a sum, or a number such as 5 or 7 whose grouping is left open."""


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature. Raises ValueError for a bar that cannot be written."""

    groups: tuple[int, ...]
    """Units in each stated group; one number unless the signature is a sum."""
    unit: int
    """The lower figure: 8 for eighths."""
    symbol: MeterSymbol | None = None
    """The sign printed in place of the figures."""

    def __post_init__(self) -> None:
        if self.unit not in _UNITS or not self.groups or min(self.groups) < 1:
            raise ValueError(f"no bar has {self.groups} units of 1/{self.unit}")

    @classmethod
    def parse(cls, text: str) -> Meter:
        """Read `4/4`, `2+2+3/8`, `common`, `cut`; raises TheoryError with a suggestion."""
        word = text.strip().lower()
        if word == MeterSymbol.COMMON.value:
            return cls((4,), 4, MeterSymbol.COMMON)
        if word == MeterSymbol.CUT.value:
            return cls((2,), 2, MeterSymbol.CUT)
        match = _METER.fullmatch(text)
        if match is None:
            message = "A meter is written as 4/4, 6/8, 2+2+3/8, common or cut"
            raise TheoryError(message, text, suggestion=_near(word))
        groups = tuple(int(group) for group in match["groups"].split("+"))
        if min(groups) < 1 or sum(groups) > _MOST_UNITS:
            message = f"A bar holds from 1 to {_MOST_UNITS} units"
            raise TheoryError(message, text, match.start("groups"), match.end("groups"))
        unit = int(match["unit"])
        if unit not in _UNITS:
            nearest = min(_UNITS, key=lambda each: abs(each - unit))
            message = "The lower figure is a note value: 1, 2, 4, 8, 16, 32 or 64"
            place = match.start("unit"), match.end("unit")
            raise TheoryError(message, text, *place, str(nearest))
        return cls(groups, unit)

    @property
    def length(self) -> Fraction:
        """Length of a full bar."""
        return _length(self.groups, self.unit)

    @property
    def kind(self) -> MeterKind:
        """Simple, compound or additive."""
        return _kind(self.groups)

    @property
    def beats(self) -> tuple[Fraction, ...]:
        """Lengths of the beats, in order; they fill the bar.

        In a sum of eighths or shorter each 2 or 3 is a beat, and an even group goes in twos; over
        a longer unit (3+2/4) the units are the beats and the sum says where the accents fall.
        """
        return _beats(self.groups, self.unit)

    @property
    def beat_starts(self) -> tuple[Fraction, ...]:
        """Where the beats begin, counted from the bar's start, 0 first."""
        return _beat_starts(self.groups, self.unit)

    @property
    def group_starts(self) -> tuple[Fraction, ...]:
        """Where the stated groups begin; for a plain figure only 0."""
        return tuple(
            Fraction(count, self.unit) for count in accumulate(self.groups[:-1], initial=0)
        )

    @property
    def figures(self) -> str:
        """The figures, also where a sign stands for them: `4/4` for common time."""
        return f"{'+'.join(str(group) for group in self.groups)}/{self.unit}"

    def __str__(self) -> str:
        return self.symbol.value if self.symbol else self.figures


# Every bar asks for these, and a site has a handful of metres.
@lru_cache(maxsize=128)
def _length(groups: tuple[int, ...], unit: int) -> Fraction:
    return Fraction(sum(groups), unit)


def _kind(groups: tuple[int, ...]) -> MeterKind:
    if len(groups) > 1:
        return MeterKind.ADDITIVE
    (count,) = groups
    if count > 3 and count % 3 == 0:
        return MeterKind.COMPOUND
    return MeterKind.SIMPLE if count <= 4 or count % 2 == 0 else MeterKind.ADDITIVE


@lru_cache(maxsize=128)
def _beats(groups: tuple[int, ...], unit: int) -> tuple[Fraction, ...]:
    if _kind(groups) is MeterKind.COMPOUND:
        return (Fraction(3, unit),) * (groups[0] // 3)
    counts: list[int] = []
    for group in groups:
        if len(groups) == 1 or unit <= 4:
            counts += [1] * group
        elif group <= 3:
            counts.append(group)
        else:
            counts += [2] * (group // 2) if group % 2 == 0 else [1] * group
    return tuple(Fraction(count, unit) for count in counts)


@lru_cache(maxsize=128)
def _beat_starts(groups: tuple[int, ...], unit: int) -> tuple[Fraction, ...]:
    return tuple(accumulate(_beats(groups, unit)[:-1], initial=Fraction(0)))


def _near(word: str) -> str | None:
    """Find the likeliest metre for text that is none."""
    if word in _OTHER_WORDS:
        return _OTHER_WORDS[word]
    if _FRACTION_SUM.fullmatch(word):
        return _joined(word)
    if re.fullmatch(r"[0-9]\s*(?:[:\-|\\]|\s)\s*[0-9]{1,2}", word):
        top, bottom = re.findall(r"[0-9]+", word)
        return f"{top}/{bottom}" if int(bottom) in _UNITS and int(top) else None
    if re.fullmatch(r"[1-9]", word):
        return f"{word}/4"
    return None


def _joined(text: str) -> str | None:
    """Write a sum of fractions over one unit: 3/4+3/8 as 6+3/8."""
    pairs = [tuple(int(figure) for figure in part.split("/")) for part in text.split("+")]
    if any(top < 1 or bottom not in _UNITS for top, bottom in pairs):
        return None
    unit = max(bottom for _, bottom in pairs)
    return "+".join(str(top * unit // bottom) for top, bottom in pairs) + f"/{unit}"
