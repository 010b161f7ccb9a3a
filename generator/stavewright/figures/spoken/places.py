"""Where in a score a moment stands, in words."""

from fractions import Fraction
from functools import lru_cache
from typing import Final

from stavewright.figures.timeline import bar_origin
from stavewright.notation.score import Bar, Score
from stavewright.theory.meter import Meter

_QUARTERS: Final = Meter.parse("4/4")


def bar_name(score: Score, index: int) -> str:
    """`Bar 3`, `Pickup`; nothing for the only bar of unmeasured music."""
    bar = score.bars[index]
    if len(score.bars) == 1 and bar.meter is None:
        return ""
    if bar.number == 0:
        return "Pickup"
    is_second_part = index > 0 and score.bars[index - 1].number == bar.number
    return f"Bar {bar.number}, continued" if is_second_part else f"Bar {bar.number}"


def moment_name(score: Score, index: int, time: Fraction) -> str:
    """A moment in a bar: `bar 2 beat 3`, `bar 2, 1/8 after beat 3`, `pickup beat 4`."""
    inside = time - bar_origin(score, index)
    return place_name(score.bars[index], inside.numerator, inside.denominator)


def place_name(bar: Bar, inside: int, parts: int) -> str:
    """The same for a moment so many parts of a whole note after the bar's origin."""
    name = f"bar {bar.number}" if bar.number else "pickup"
    return name + _beat(meter_of(bar), inside, parts)


@lru_cache(maxsize=1024)  # the same few places in every bar
def _beat(meter: Meter, inside: int, parts: int) -> str:
    """Where inside a bar: ` beat 3`, `, 1/8 after beat 3`."""
    time = Fraction(inside, parts)
    begun = [start for start in meter.beat_starts if start <= time]
    rest = time - begun[-1]
    return f", {rest} after beat {len(begun)}" if rest else f" beat {len(begun)}"


def meter_of(bar: Bar) -> Meter:
    """The bar's metre; beats of a quarter where there is none."""
    return bar.meter or _QUARTERS
