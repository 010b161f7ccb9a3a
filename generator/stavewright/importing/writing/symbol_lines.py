"""Chord symbols, numerals and figured bass as lines of a block, one line a bar."""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from stavewright.importing.model import Placed
from stavewright.importing.select import Bar
from stavewright.importing.writing.changes import by_bar
from stavewright.notation.values import show_value

_LEAST_GAP: Final = Fraction(1, 32)
"""A shorter one is what a file's rounding leaves."""


def figures_in(bar: Bar) -> list[Placed[str]]:
    """The figured bass of a bar; gaps only where nothing follows at once."""
    length = bar.measure.length
    row = by_bar(bar.measure.figures, length)
    end = Placed(length, "")
    return [each for each, after in pairwise([*row, end]) if each.what or _is_gap(each, after)]


def _is_gap(each: Placed[str], after: Placed[str]) -> bool:
    return after.at - each.at >= _LEAST_GAP


def symbol_lines(
    word: str,
    bars: Sequence[Bar],
    placed: Callable[[Bar], Sequence[Placed[str]]],
    *,
    gap: str,
    runs_on: bool,
) -> Iterator[str]:
    """The lines of one row of symbols; nothing where the excerpt has none.

    `gap` stands where no symbol holds. With `runs_on` a bar without symbols is left empty, which
    continues the one before.
    """
    rows = [by_bar(placed(bar), bar.measure.length) for bar in bars]
    if not any(rows):
        return
    holds = False
    for bar, row in zip(bars, rows, strict=True):
        if not row and holds and runs_on:
            yield f"{word}: | |"
            continue
        texts = list(_texts(row, bar.measure.length, gap))
        holds = bool(row)
        yield f"{word}: {' '.join(texts)} |"


def _texts(row: Sequence[Placed[str]], length: Fraction, gap: str) -> Iterator[str]:
    if not row or row[0].at > 0:
        until = row[0].at if row else length
        yield f"{show_value(until)} {gap}"
    if not row:
        return
    ends = [*(each.at for each in row[1:]), length]
    for each, end in zip(row, ends, strict=True):
        yield f"{show_value(end - each.at)} {each.what or 'rest'}"
