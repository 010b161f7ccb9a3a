"""The way through the bars: repeats and endings played out.

A repeat goes back to the last `|:`, or, where there is none, to the end of the repeat before, or to
the beginning (common practice). Without endings it is played twice; with endings as many times as
their brackets say.
"""

from collections.abc import Sequence

from stavewright.notation.score import Bar, BarSign


def route(bars: Sequence[Bar]) -> tuple[int, ...]:
    """The indices of the bars in the order they are played."""
    played: list[int] = []
    first, number, index = 0, 1, 0
    while index < len(bars):
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
