"""The rhythm grid: a time axis with the metre's beats, and every hit where it really sounds.

A ring stands where a moved hit is written, and its mark where it sounds, pointing the way it was
moved. What the author moved is told in words, in note values and, at the block's tempo, in
milliseconds; what the swing moves is told once, below.
"""

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise

from stavewright.figures.figure import Drawing
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.grid_marks import (
    draw_key,
    draw_mark,
    key_height,
    key_rows,
)
from stavewright.figures.views.grid_rows import (
    Kind,
    grid_rows,
    no_rhythm_words,
    speak,
    swing_words,
)
from stavewright.figures.views.grid_time import Grid, TimedBar, TimedHit, TimedRow, grid_of
from stavewright.figures.views.labels import Label, levels
from stavewright.notation.score import Score

__all__ = ["draw", "speak"]

_WIDE, _NARROW = 718.0, 320.0
_HEAD = 26.0
_ABOVE, _BELOW = 20.0, 16.0
"""A row's room over and under its line, without labels."""
_WORD_LINE, _NUMBER_LINE = 12.0, 11.0
"""Heights of the words above a hit and of each line of numbers below it."""
_FOOT = 17.0
_UNITS = "ms: thousandths of a second; fractions: of a whole note"
_LEAST_ARROW = 14.0
"""Pixels between a ring and its mark that leave room for an arrow."""
_LEAST_BEAT = 62.0
"""Pixels that a beat needs for its offsets to be told apart."""
_MARK, _SMALL_MARK = 5.0, 3.2
_NAME, _NUMBER = 12.0, 10.5
_MARGIN = 14.0


@dataclass(frozen=True, slots=True)
class _System:
    """The bars that stand side by side, and how time becomes pixels in them."""

    bars: tuple[TimedBar, ...]
    names: float
    """Where the rows' names end."""
    left: float
    """Where the first bar begins."""
    parts: int
    """How many of them a whole note has, times are counted in."""
    scale: float
    """Pixels for a whole note."""

    def x(self, time: int) -> float:
        return self.left + (time - self.bars[0].start) / self.parts * self.scale

    @property
    def end(self) -> int:
        return self.bars[-1].end

    def hits(self, row: TimedRow) -> list[TimedHit]:
        start, end = self.bars[0].start, self.end
        return [hit for hit in row.hits if start <= hit.written < end]


@dataclass(frozen=True, slots=True)
class _Line:
    """One row in one system, with the levels of its labels."""

    name: str
    hits: list[TimedHit]
    labels: list[tuple[Label, int, tuple[str, ...]]]
    """Where, on which level, and the words: early or late above, milliseconds and value below."""

    @property
    def extra(self) -> int:
        """Levels over the first."""
        return max((level for _, level, _ in self.labels), default=0)

    @property
    def depth(self) -> int:
        """Lines of numbers below one hit."""
        return max((len(words) - 1 for _, _, words in self.labels), default=0)

    @property
    def above(self) -> float:
        """From the row's upper edge to its line."""
        return (
            _ABOVE + _WORD_LINE * (self.extra + (1 if self.labels else 0)) - 4 * bool(self.labels)
        )

    @property
    def height(self) -> float:
        below = _NUMBER_LINE * self.depth * (self.extra + 1)
        return self.above + _BELOW + (below + 4 if below else 0)


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """A wide and a narrow drawing, each with as many bars in a row as stay legible."""
    rows = grid_rows(score)
    if rows:
        grid = grid_of(score, rows)
        is_moved = any(hit.way for row in rows for hit in row.hits)
        feet = [words for words in (swing_words(score), _UNITS if is_moved else "") if words]
        return _drawing(grid, feet, _WIDE), _drawing(grid, feet, _NARROW)
    words = no_rhythm_words(score)
    canvas = Canvas(max(120.0, text_width(words, _NAME)), 24)
    canvas.text(0, 16, words, min(_NAME, _NAME * _NARROW / canvas.width), text_anchor="start")
    return canvas.drawing(), None


def _drawing(grid: Grid, feet: list[str], width: float) -> Drawing:
    systems = _systems(grid, width)
    radius = _radius(grid, systems[0].scale)
    laid = [[_line(system, row, width) for row in grid.rows] for system in systems]
    heights = [_HEAD + sum(line.height for line in lines) + 8 for lines in laid]
    key = key_rows((timed.hit.kind for row in grid.rows for timed in row.hits), width - 4)
    canvas = Canvas(width, sum(heights) + key_height(key) + _FOOT * len(feet))
    top = 0.0
    for system, lines, height in zip(systems, laid, heights, strict=True):
        if grid.has_many_bars:
            _bar_number(canvas, system, top)
        _beats(canvas, system, (top, top + height - 8))
        y = top + _HEAD
        for line in lines:
            _draw_line(canvas, system, line, y + line.above, radius)
            y += line.height
        top += height
    draw_key(canvas, key, 2, top)
    for row, words in enumerate(reversed(feet)):
        size = min(11.0, 11 * (width - 4) / text_width(words, 11))
        canvas.text(2, canvas.height - 7 - _FOOT * row, words, size, text_anchor="start")
    return canvas.drawing()


def _systems(grid: Grid, width: float) -> list[_System]:
    """Bars in rows: as many as give each beat its least room, all at one scale."""
    bars, parts = grid.bars, grid.parts
    broadest = max(text_width(row.name, _NAME) for row in grid.rows)
    left = _MARGIN + max(broadest, text_width("pickup", _NUMBER) if len(bars) > 1 else 0)
    room = width - left - _MARGIN
    shortest = min(bar.shortest for bar in bars) / parts
    longest = max(bar.end - bar.start for bar in bars) / parts
    per_row = max(1, int(room * shortest / (_LEAST_BEAT * longest)))
    pieces = [bars[start : start + per_row] for start in range(0, len(bars), per_row)]
    whole = max(sum(bar.end - bar.start for bar in piece) for piece in pieces) / parts
    early, late = (time / parts for time in _overshoot(grid))
    # Hits that sound before their bar, or after it, need room beside the system.
    spare = (_MARK + 3 if early else 0) + (_MARK if late else 0)
    scale = (room - spare) / (whole + early + late)
    names = left - _MARGIN + 4
    left += early * scale + (_MARK + 3 if early else 0)
    return [_System(piece, names, left, parts, scale) for piece in pieces]


def _overshoot(grid: Grid) -> tuple[int, int]:
    """How far a hit sounds before its bar, and after it, at most."""
    early = late = 0
    starts, ends = [bar.start for bar in grid.bars], [bar.end for bar in grid.bars]
    for row in grid.rows:
        for hit in row.hits:
            place = bisect_right(starts, hit.written) - 1
            # What stands in no bar is laid by the last.
            if place < 0 or hit.written >= ends[place]:
                place = -1
            early = max(early, starts[place] - hit.sounding)
            late = max(late, hit.sounding - ends[place])
    return early, late


def _radius(grid: Grid, scale: float) -> float:
    """Marks are smaller where they would touch."""
    gaps = [b.sounding - a.sounding for row in grid.rows for a, b in pairwise(row.hits)]
    nearest = min(gaps, default=grid.parts) / grid.parts
    return _MARK if nearest * scale > 2 * _MARK + 1 else _SMALL_MARK


def _line(system: _System, row: TimedRow, width: float) -> _Line:
    hits = system.hits(row)
    found = []
    for timed in hits:
        hit = timed.hit
        if hit.way:
            words = (hit.way, hit.gap, *((hit.value,) if hit.value else ()))
            label = Label(system.x(timed.sounding), max(words, key=len), _NUMBER).within(width)
            found.append((label, words))
    heights = levels([label for label, _ in found])
    labels = [(label, level, words) for (label, words), level in zip(found, heights, strict=True)]
    return _Line(row.name, hits, labels)


def _bar_number(canvas: Canvas, system: _System, top: float) -> None:
    first = system.bars[0].number
    words = f"bar {first}" if first else "pickup"
    look = {"text_anchor": "end", "font_style": "italic", "opacity": "0.75"}
    canvas.text(system.names, top + 12, words, _NUMBER, **look)


def _beats(canvas: Canvas, system: _System, ends: tuple[float, float]) -> None:
    """The axis: beats with their numbers, the parts of each, and bar lines."""
    top, foot = ends
    for bar in system.bars:
        x = system.x(bar.start)
        canvas.line(x, top + 16, x, foot, 1.6)
        for beat in bar.beats:
            x = system.x(beat.start)
            canvas.text(x, top + 12, str(beat.number), 12, font_weight="600")
            canvas.line(x, top + 18, x, foot, 0.8, opacity="0.6")
            _divisions(canvas, system, beat.divisions, (top + _HEAD, foot))
    x = system.x(system.end)
    canvas.line(x, top + 16, x, foot, 1.6)


def _divisions(
    canvas: Canvas,
    system: _System,
    parts: tuple[tuple[int, bool], ...],
    ends: tuple[float, float],
) -> None:
    """The parts of a beat as dotted lines, its half a little darker."""
    for at, is_half in parts:
        x = system.x(at)
        faint = "0.45" if is_half else "0.28"
        canvas.line(x, ends[0], x, ends[1], 0.8, opacity=faint, stroke_dasharray="2 3")


def _draw_line(canvas: Canvas, system: _System, line: _Line, y: float, radius: float) -> None:
    canvas.text(system.names, y + 4, line.name, _NAME, text_anchor="end")
    canvas.line(system.left, y, system.x(system.end), y, 0.8, opacity="0.35")
    for timed in line.hits:
        hit, sounding = timed.hit, system.x(timed.sounding)
        if timed.sounding != timed.written:
            written = system.x(timed.written)
            draw_mark(canvas, Kind.WRITTEN, written, y, radius)
            if abs(sounding - written) >= _LEAST_ARROW:
                _arrow(canvas, written, sounding, y + 10)
        broad = radius + 1.5 if hit.emphasised else radius
        draw_mark(canvas, hit.kind, sounding, y, broad, data_id=hit.id)
    for label, level, words in line.labels:
        _words(canvas, line, label, level, words, y)


def _words(
    canvas: Canvas, line: _Line, label: Label, level: int, words: tuple[str, ...], y: float
) -> None:
    """Early or late above a hit; below it by how much, the levels under each other."""
    way, *numbers = words
    canvas.text(label.x, y - 11 - _WORD_LINE * level, way, _NUMBER, font_weight="600")
    first = y + 22 + _NUMBER_LINE * line.depth * level
    for row, number in enumerate(numbers):
        canvas.text(label.x, first + _NUMBER_LINE * row, number, 10)


def _arrow(canvas: Canvas, written: float, sounding: float, y: float) -> None:
    """From where a hit is written to where it sounds."""
    head = 4.0 if sounding > written else -4.0
    canvas.line(written, y, sounding, y, 1)
    canvas.polygon([(sounding, y), (sounding - head, y - 3), (sounding - head, y + 3)], **SOLID)
