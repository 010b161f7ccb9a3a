"""When things happen in a rhythm grid: its bars, beats and hits, counted in whole numbers.

A grid is drawn twice from the same hundreds of moments. In parts of a common denominator they
compare and become pixels many times quicker than as fractions, and just as exactly.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import Final

from stavewright.figures.spoken.places import meter_of
from stavewright.figures.timeline import bar_origin
from stavewright.figures.views.grid_rows import Hit, Row
from stavewright.notation.score import Score

_DIVISIONS: Final = 12
"""What a beat can be divided in: in four or, where it is compound, in three."""

_Count = Callable[[Fraction], int]
"""A time in parts of a whole note."""


@dataclass(frozen=True, slots=True)
class Beat:
    """A beat that begins in a bar."""

    number: int
    start: int
    divisions: tuple[tuple[int, bool], ...]
    """Where its quarters begin, or its thirds, inside the bar; and whether that is half-way."""


@dataclass(frozen=True, slots=True)
class TimedBar:
    """A bar that takes time."""

    number: int
    start: int
    end: int
    beats: tuple[Beat, ...]
    """A pickup has only the last ones."""
    shortest: int
    """The shortest beat of its metre."""


@dataclass(frozen=True, slots=True)
class TimedHit:
    """A hit, where it is written and where it sounds."""

    hit: Hit
    written: int
    sounding: int


@dataclass(frozen=True, slots=True)
class TimedRow:
    """A row with its hits, in the order of their sound."""

    name: str
    hits: tuple[TimedHit, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """All that is drawn; times count from the beginning of the score."""

    parts: int
    """How many a whole note has."""
    bars: tuple[TimedBar, ...]
    rows: tuple[TimedRow, ...]
    has_many_bars: bool
    """With those that take no time."""


def grid_of(score: Score, rows: Sequence[Row]) -> Grid:
    """Lay the rows of a score out in time."""
    times = [at for bar in score.bars for at in (bar.start, bar.length, *meter_of(bar).beats)]
    times += [at for row in rows for hit in row.hits for at in (hit.written, hit.sounding)]
    parts = _DIVISIONS * lcm(*{time.denominator for time in times})

    def count(time: Fraction) -> int:
        return time.numerator * (parts // time.denominator)

    bars = [_bar(score, index, count) for index, bar in enumerate(score.bars) if bar.length > 0]
    timed = [
        TimedRow(
            row.name,
            tuple(TimedHit(hit, count(hit.written), count(hit.sounding)) for hit in row.hits),
        )
        for row in rows
    ]
    return Grid(parts, tuple(bars), tuple(timed), len(score.bars) > 1)


def _bar(score: Score, index: int, count: _Count) -> TimedBar:
    bar = score.bars[index]
    meter = meter_of(bar)
    start, origin = count(bar.start), count(bar_origin(score, index))
    end = start + count(bar.length)
    numbered = enumerate(zip(meter.beat_starts, meter.beats, strict=True), start=1)
    found = [(number, origin + count(at), length) for number, (at, length) in numbered]
    beats = [
        Beat(number, at, _divisions(at, count(length), 3 if length.numerator == 3 else 4, end))
        for number, at, length in found
        if start <= at < end
    ]
    return TimedBar(bar.number, start, end, tuple(beats), count(min(meter.beats)))


def _divisions(start: int, length: int, into: int, end: int) -> tuple[tuple[int, bool], ...]:
    moments = [(start + length * part // into, 2 * part == into) for part in range(1, into)]
    return tuple((at, is_half) for at, is_half in moments if at < end)
