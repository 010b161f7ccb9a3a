"""Where in a score a moment stands, in words."""

from fractions import Fraction

from stavewright.figures.timeline import bar_origin
from stavewright.notation.score import Bar, Score
from stavewright.theory.meter import Meter


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
    bar = score.bars[index]
    name = f"bar {bar.number}" if bar.number else "pickup"
    inside = time - bar_origin(score, index)
    begun = [start for start in meter_of(bar).beat_starts if start <= inside]
    rest = inside - begun[-1]
    return f"{name}, {rest} after beat {len(begun)}" if rest else f"{name} beat {len(begun)}"


def meter_of(bar: Bar) -> Meter:
    """The bar's metre; beats of a quarter where there is none."""
    return bar.meter or Meter.parse("4/4")
