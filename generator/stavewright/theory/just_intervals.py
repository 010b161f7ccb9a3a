"""The just intervals that have names, and the commas by which one misses another.

The ratios up to the octave are tabled by A. J. Ellis in the appendix to his translation of
Helmholtz, On the Sensations of Tone (2nd ed., 1885, App. XX, sect. D; from memory). The names are
today's: what he calls the comma of Didymus is now mostly the syntonic comma, what he writes with
"super-" and "sub-" is septimal. Rows marked `common` are common practice among theorists, no
source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Final

from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.tuning import cents_of

if TYPE_CHECKING:
    from decimal import Decimal


class Source(Enum):
    """Where a ratio and its name are from; the value is how that is cited."""

    ELLIS = "Ellis in Helmholtz, On the Sensations of Tone, 2nd ed. 1885, App. XX D (from memory)"
    COMMON = "common practice, no source"


@dataclass(frozen=True, slots=True)
class JustInterval:
    """A ratio with a name."""

    name: str
    ratio: Fraction
    spelled: Interval | None
    """The written interval it tunes, so far as there is one; none for a comma."""
    source: Source
    aliases: tuple[str, ...] = ()

    @property
    def is_comma(self) -> bool:
        """Whether it is a difference between tunings and no interval that is written."""
        return self.spelled is None

    @property
    def cents(self) -> Decimal:
        """Its size to three decimals."""
        return cents_of(self.ratio)

    @property
    def words(self) -> str:
        """`syntonic comma, 81/80, 21.506 cents`."""
        return f"{self.name}, {self.ratio}, {self.cents} cents"


_COMMAS: Final = """
schisma | 32805/32768 | skhisma
septimal kleisma | 225/224 | | common
diaschisma | 2048/2025 | diaskhisma
syntonic comma | 81/80 | comma of Didymus, Didymean comma, comma
Pythagorean comma | 531441/524288 | ditonic comma
septimal comma | 64/63 | comma of Archytas | common
diesis | 128/125 | great diesis, lesser diesis, enharmonic diesis
greater diesis | 648/625 | | common
undecimal quarter tone | 33/32 |
septimal quarter tone | 36/35 | | common
"""
"""Name, ratio, other names, `common` where the source is not Ellis; smallest differences first."""

_INTERVALS: Final = """
unison | 1/1 | P1
small chromatic semitone | 25/24 | A1 | small semitone
Pythagorean limma | 256/243 | m2 | limma
larger chromatic semitone | 135/128 | A1 | larger limma
diatonic semitone | 16/15 | m2 | just minor second
apotome | 2187/2048 | A1
large diatonic semitone | 27/25 | m2 | great limma
minor tone | 10/9 | M2 | lesser whole tone
major tone | 9/8 | M2 | greater whole tone
septimal whole tone | 8/7 | M2 | supersecond
septimal minor third | 7/6 | m3 | subminor third
just augmented second | 75/64 | A2
Pythagorean minor third | 32/27 | m3
just minor third | 6/5 | m3
undecimal neutral third | 11/9 | n3 | | common
just major third | 5/4 | M3
Pythagorean major third | 81/64 | M3 | ditone
septimal major third | 9/7 | M3 | supermajor third
perfect fourth | 4/3 | P4 | just fourth
acute fourth | 27/20 | P4 | | common
eleventh harmonic | 11/8 | P4(+50)
septimal tritone | 7/5 | d5 | septimal diminished fifth
just augmented fourth | 45/32 | A4
Pythagorean tritone | 729/512 | A4
just diminished fifth | 64/45 | d5
greater septimal tritone | 10/7 | A4
grave fifth | 40/27 | P5
perfect fifth | 3/2 | P5 | just fifth
just augmented fifth | 25/16 | A5
Pythagorean minor sixth | 128/81 | m6
just minor sixth | 8/5 | m6
thirteenth harmonic | 13/8 | n6
just major sixth | 5/3 | M6
Pythagorean major sixth | 27/16 | M6
harmonic seventh | 7/4 | m7 | septimal minor seventh, natural seventh
Pythagorean minor seventh | 16/9 | m7
just minor seventh | 9/5 | m7
just major seventh | 15/8 | M7
Pythagorean major seventh | 243/128 | M7
octave | 2/1 | P8
"""
"""Name, ratio, the written interval, other names, `common` as above; by size."""


def just_intervals() -> tuple[JustInterval, ...]:
    """Give every named just interval, the commas first, each part by size."""
    return _table()


@cache
def _table() -> tuple[JustInterval, ...]:
    commas = [_row(line, is_comma=True) for line in _COMMAS.strip().splitlines()]
    intervals = [_row(line, is_comma=False) for line in _INTERVALS.strip().splitlines()]
    by_size = (sorted(part, key=lambda each: each.ratio) for part in (commas, intervals))
    return tuple(each for part in by_size for each in part)


def _row(line: str, *, is_comma: bool) -> JustInterval:
    name, ratio, *rest = (cell.strip() for cell in line.split("|"))
    spelled = None if is_comma else Interval.parse(rest.pop(0))
    aliases, source = (*rest, "", "")[:2]
    return JustInterval(
        name,
        Fraction(ratio),
        spelled,
        Source.COMMON if source == "common" else Source.ELLIS,
        tuple(alias.strip() for alias in aliases.split(",") if alias.strip()),
    )


def named(ratio: Fraction) -> JustInterval | None:
    """Find the name of a ratio, upwards or downwards; None where it has none here."""
    size = ratio if ratio >= 1 else 1 / ratio
    return next((each for each in just_intervals() if each.ratio == size), None)


def find_just(name: str) -> JustInterval:
    """Find a just interval by its name or another name of it; raises TheoryError."""
    wanted = " ".join(name.lower().split())
    for each in just_intervals():
        if wanted in (each.name.lower(), *(alias.lower() for alias in each.aliases)):
            return each
    raise TheoryError(f"No just interval is known here as {name!r}; give its ratio", name)


def tunings_of(interval: Interval) -> tuple[JustInterval, ...]:
    """Give the just tunings of a written interval, by size: a major third is 5/4, 81/64 or 9/7."""
    return tuple(each for each in just_intervals() if each.spelled == interval.magnitude)


def difference(one: Fraction, other: Fraction) -> Fraction:
    """Give the ratio, 1 or greater, by which two ratios miss each other.

    Of 5/4 and 81/64 it is 81/80, which `named` knows as the syntonic comma.
    """
    if one <= 0 or other <= 0:
        raise TheoryError("Ratios of frequencies are greater than nothing", f"{one} {other}")
    return max(one / other, other / one)


def stacked(ratio: Fraction, times: int) -> Fraction:
    """Give so many of one interval on top of each other, brought back within an octave.

    Twelve fifths come to the Pythagorean comma, 531441/524288.
    """
    if ratio <= 0:
        raise TheoryError("A ratio of frequencies is greater than nothing", str(ratio))
    total = Fraction(ratio**times)
    while total >= 2:
        total /= 2
    while total < 1:
        total *= 2
    return total
