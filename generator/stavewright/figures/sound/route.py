"""The way through the bars: repeats and endings played out.

A repeat goes back to the last `|:`, or, where there is none, to the end of the repeat before, or to
the beginning (common practice). Without endings it is played twice; with endings as many times as
their brackets say. A bracket ends where a new repeat begins.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from stavewright.notation.score import Bar, BarSign

_MOST_BARS: Final = 2000
"""An hour of music; more is surely a slip in a bracket."""


def route(bars: Sequence[Bar]) -> tuple[int, ...]:
    """The indices of the bars in the order they are played."""
    bars = _closed(bars)
    played: list[int] = []
    first, number, index = 0, 1, 0
    while index < len(bars) and len(played) < _MOST_BARS:
        bar = bars[index]
        if _opens(bars, index) and index != first:
            first, number = index, 1
        if bar.ending and number not in bar.ending:
            index += 1
            continue
        played.append(index)
        if bar.closing is BarSign.REPEAT_END:
            if number < _passes(bars, first, index):
                number += 1
                index = first
                continue
            first, number = index + 1, number if bar.ending else 1
        index += 1
    return tuple(played)


def _closed(bars: Sequence[Bar]) -> list[Bar]:
    """The bars without the brackets that run on past the beginning of a repeat."""
    found: list[Bar] = []
    over: tuple[int, ...] = ()
    for index, bar in enumerate(bars):
        begins = bar.opening is BarSign.REPEAT_START and index > 0
        if begins and bar.ending == bars[index - 1].ending:
            over = bar.ending
        elif bar.ending != over:
            over = ()
        found.append(replace(bar, ending=()) if over else bar)
    return found


def _opens(bars: Sequence[Bar], index: int) -> bool:
    """Whether a new section begins here: at its sign, or after the last of some endings."""
    after_endings = index > 0 and bool(bars[index - 1].ending) and not bars[index].ending
    return after_endings or bars[index].opening is BarSign.REPEAT_START


def _passes(bars: Sequence[Bar], first: int, last: int) -> int:
    """How often the section that is repeated from `first` to `last` is played."""
    numbers: list[int] = []
    index = first
    while index < len(bars) and (index <= last or bars[index].ending):
        numbers += bars[index].ending
        index += 1
    return max(numbers, default=2)
