"""The rhythm grid: a time axis with the metre's beats, and every hit where it really sounds.

A ring stands where a moved hit is written, and its mark where it sounds, pointing the way it was
moved. What the author moved is told in words, in note values and, at the block's tempo, in
milliseconds; what the swing moves is told once, below.
"""

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from stavewright.figures.figure import Drawing
from stavewright.figures.mei.ids import head_id
from stavewright.figures.timeline import Onset
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.grid_marks import (
    Kind,
    draw_key,
    draw_mark,
    key_height,
    key_rows,
    kind_of,
)
from stavewright.figures.views.grid_rows import (
    Row,
    beats_in,
    grid_rows,
    milliseconds,
    no_rhythm_words,
    shift_value,
    speak,
    swing_words,
)
from stavewright.figures.views.labels import Label, levels
from stavewright.notation.score import Bar, Score

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

    bars: tuple[Bar, ...]
    names: float
    """Where the rows' names end."""
    left: float
    """Where the first bar begins."""
    scale: float
    """Pixels for a whole note."""

    def x(self, time: Fraction) -> float:
        return self.left + float(time - self.bars[0].start) * self.scale

    @property
    def end(self) -> Fraction:
        return self.bars[-1].start + self.bars[-1].length

    def hits(self, row: Row) -> list[Onset]:
        start, end = self.bars[0].start, self.end
        return [hit for hit in row.hits if start <= hit.written < end]


@dataclass(frozen=True, slots=True)
class _Line:
    """One row in one system, with the levels of its labels."""

    name: str
    hits: list[Onset]
    ids: list[str]
    """Of each hit's note, as the staff has them."""
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
        return _drawing(score, rows, _WIDE), _drawing(score, rows, _NARROW)
    words = no_rhythm_words(score)
    canvas = Canvas(max(120.0, text_width(words, _NAME)), 24)
    canvas.text(0, 16, words, min(_NAME, _NAME * _NARROW / canvas.width), text_anchor="start")
    return canvas.drawing(), None


def _drawing(score: Score, rows: tuple[Row, ...], width: float) -> Drawing:
    systems = _systems(score, rows, width)
    radius = _radius(rows, systems[0].scale)
    laid = [[_line(score, system, row, width) for row in rows] for system in systems]
    heights = [_HEAD + sum(line.height for line in lines) + 8 for lines in laid]
    feet = [swing_words(score), _UNITS if any(hit.shift for r in rows for hit in r.hits) else ""]
    feet = [words for words in feet if words]
    key = key_rows([hit for row in rows for hit in row.hits], width - 4)
    canvas = Canvas(width, sum(heights) + key_height(key) + _FOOT * len(feet))
    top = 0.0
    for system, lines, height in zip(systems, laid, heights, strict=True):
        _beats(canvas, score, system, (top, top + height - 8))
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


def _systems(score: Score, rows: tuple[Row, ...], width: float) -> list[_System]:
    """Bars in rows: as many as give each beat its least room, all at one scale."""
    bars = [bar for bar in score.bars if bar.length > 0]
    broadest = max(text_width(row.name, _NAME) for row in rows)
    left = _MARGIN + max(broadest, text_width("pickup", _NUMBER) if len(bars) > 1 else 0)
    room = width - left - _MARGIN
    shortest = min(min(bar.meter.beats) if bar.meter else Fraction(1, 4) for bar in bars)
    longest = max(bar.length for bar in bars)
    per_row = max(1, int(room * float(shortest) / (_LEAST_BEAT * float(longest))))
    pieces = [bars[start : start + per_row] for start in range(0, len(bars), per_row)]
    whole = float(max(sum(bar.length for bar in piece) for piece in pieces))
    early, late = (float(time) for time in _overshoot(rows, bars))
    # Hits that sound before their bar, or after it, need room beside the system.
    spare = (_MARK + 3 if early else 0) + (_MARK if late else 0)
    scale = (room - spare) / (whole + early + late)
    names = left - _MARGIN + 4
    left += early * scale + (_MARK + 3 if early else 0)
    return [_System(tuple(piece), names, left, scale) for piece in pieces]


def _overshoot(rows: tuple[Row, ...], bars: list[Bar]) -> tuple[Fraction, Fraction]:
    """How far a hit sounds before its bar, and after it, at most."""
    early = late = Fraction(0)
    starts, ends = [bar.start for bar in bars], [bar.start + bar.length for bar in bars]
    for row in rows:
        for hit in row.hits:
            place = bisect_right(starts, hit.written) - 1
            # What stands in no bar is laid by the last.
            if place < 0 or hit.written >= ends[place]:
                place = -1
            if hit.sounding < starts[place]:
                early = max(early, starts[place] - hit.sounding)
            elif hit.sounding > ends[place]:
                late = max(late, hit.sounding - ends[place])
    return early, late


def _radius(rows: tuple[Row, ...], scale: float) -> float:
    """Marks are smaller where they would touch."""
    gaps = [b.sounding - a.sounding for row in rows for a, b in pairwise(row.hits)]
    return _MARK if float(min(gaps, default=1)) * scale > 2 * _MARK + 1 else _SMALL_MARK


def _line(score: Score, system: _System, row: Row, width: float) -> _Line:
    hits = system.hits(row)
    found = []
    for hit in hits:
        if not hit.shift:
            continue
        way = "early" if hit.shift < 0 else "late"
        value, gap = shift_value(hit), milliseconds(hit.shift_seconds)
        words = (way, gap, *((value,) if value else ()))
        label = Label(system.x(hit.sounding), max(words, key=len), _NUMBER).within(width)
        found.append((label, words))
    heights = levels([label for label, _ in found])
    return _Line(
        row.name,
        hits,
        [_note_id(score, hit) for hit in hits],
        [(label, level, words) for (label, words), level in zip(found, heights, strict=True)],
    )


def _note_id(score: Score, hit: Onset) -> str:
    voice = next(voice for voice in score.voices if voice.name == hit.voice)
    heads = voice.events[hit.event].heads
    return head_id(voice.name, hit.event, heads.index(hit.head), len(heads))


def _beats(canvas: Canvas, score: Score, system: _System, ends: tuple[float, float]) -> None:
    """The axis: beats with their numbers, the parts of each, and bar lines."""
    top, foot = ends
    if len(score.bars) > 1:
        first = system.bars[0].number
        words = f"bar {first}" if first else "pickup"
        look = {"text_anchor": "end", "font_style": "italic", "opacity": "0.75"}
        canvas.text(system.names, top + 12, words, _NUMBER, **look)
    for bar in system.bars:
        x = system.x(bar.start)
        canvas.line(x, top + 16, x, foot, 1.6)
        for number, start, length in beats_in(score, bar):
            beat_x = system.x(start)
            canvas.text(beat_x, top + 12, str(number), 12, font_weight="600")
            canvas.line(beat_x, top + 18, beat_x, foot, 0.8, opacity="0.6")
            parts = _parts(start, length, bar.start + bar.length)
            _divisions(canvas, system, parts, (top + _HEAD, foot))
    x = system.x(system.end)
    canvas.line(x, top + 16, x, foot, 1.6)


def _parts(start: Fraction, length: Fraction, end: Fraction) -> list[tuple[Fraction, bool]]:
    """(moment, whether half-way) of the quarters of a simple beat, or the thirds of a compound."""
    inside = ((start + offset, is_half) for offset, is_half in _divided(length))
    return [(at, is_half) for at, is_half in inside if at < end]


@lru_cache(maxsize=64)  # a metre has two lengths of beats at most
def _divided(length: Fraction) -> tuple[tuple[Fraction, bool], ...]:
    """The same, counted from the beginning of a beat."""
    count = 3 if length.numerator == 3 else 4
    return tuple((length * part / count, 2 * part == count) for part in range(1, count))


def _divisions(
    canvas: Canvas,
    system: _System,
    parts: list[tuple[Fraction, bool]],
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
    for hit, name in zip(line.hits, line.ids, strict=True):
        sounding = system.x(hit.sounding)
        if hit.sounding != hit.written:
            written = system.x(hit.written)
            draw_mark(canvas, Kind.WRITTEN, written, y, radius)
            if abs(sounding - written) >= _LEAST_ARROW:
                _arrow(canvas, written, sounding, y + 10)
        broad = radius + 1.5 if hit.head.emphasised else radius
        draw_mark(canvas, kind_of(hit), sounding, y, broad, data_id=name)
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
