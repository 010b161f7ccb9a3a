"""The rhythm grid: a time axis with the metre's beats, and every hit where it really sounds.

An open mark stands where the hit is written, a filled one where it sounds, with an arrow between
them. What the author moved is told in note values and, at the block's tempo, in milliseconds; what
the swing moves is told once, below.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from stavewright.figures.figure import Drawing
from stavewright.figures.mei.ids import head_id
from stavewright.figures.timeline import Onset
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
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

_WIDE, _NARROW = 740.0, 320.0
_ROW_HEIGHT, _HEAD = 46.0, 26.0
_LEVEL = 23.0
"""How much higher a row is for each level of labels over the first."""
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
        return [hit for hit in row.hits if self.bars[0].start <= hit.written < self.end]


@dataclass(frozen=True, slots=True)
class _Line:
    """One row in one system, with the levels of its labels."""

    name: str
    hits: list[Onset]
    ids: list[str]
    """Of each hit's note, as the staff has them."""
    labels: list[tuple[Label, int, str, str]]
    """Where, on which level, the note value above, the milliseconds below."""

    @property
    def extra(self) -> int:
        """Levels over the first."""
        return max((level for _, level, _, _ in self.labels), default=0)

    @property
    def height(self) -> float:
        return _ROW_HEIGHT + _LEVEL * self.extra


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
    swing = swing_words(score)
    is_moved = any(hit.offset for row in rows for hit in row.hits)
    canvas = Canvas(width, sum(heights) + (20 if is_moved else 0) + (18 if swing else 0))
    top = 0.0
    for system, lines, height in zip(systems, laid, heights, strict=True):
        _beats(canvas, score, system, (top, top + height - 8))
        y = top + _HEAD
        for line in lines:
            _draw_line(canvas, system, line, y + line.height / 2, radius)
            y += line.height
        top += height
    if is_moved:
        _key_to_marks(canvas, systems[0].left, top + 8)
    if swing:
        # As far left as it must to be whole on a phone.
        x = max(2.0, min(systems[0].left, width - text_width(swing, 11)))
        size = min(11.0, 11 * (width - 4) / text_width(swing, 11))
        canvas.text(x, canvas.height - 7, swing, size, text_anchor="start")
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
    for row in rows:
        for hit in row.hits:
            here = (b for b in bars if b.start <= hit.written < b.start + b.length)
            bar = next(here, bars[-1])
            early = max(early, bar.start - hit.sounding)
            late = max(late, hit.sounding - bar.start - bar.length)
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
        sign = "−" if hit.shift < 0 else "+"
        value, gap = shift_value(hit), milliseconds(score, hit.swung, hit.sounding)
        above, below = (f"{sign}{value}", gap) if value else ("", f"{sign}{gap}")
        middle = (system.x(hit.swung) + system.x(hit.sounding)) / 2
        longer = max(above, below, key=len)
        found.append((Label(middle, longer, _NUMBER).within(width), above, below))
    heights = levels([label for label, _, _ in found])
    return _Line(
        row.name,
        hits,
        [_note_id(score, hit) for hit in hits],
        [(label, level, a, b) for (label, a, b), level in zip(found, heights, strict=True)],
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
    count = 3 if length.numerator == 3 else 4
    moments = [(start + length * part / count, 2 * part == count) for part in range(1, count)]
    return [(at, is_half) for at, is_half in moments if at < end]


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
        written, sounding = system.x(hit.written), system.x(hit.sounding)
        if hit.offset:
            canvas.circle(written, y, radius - 1, stroke_width="1.3")
            _arrow(canvas, written, sounding, y + 10)
        broad = radius + 1.5 if hit.head.emphasised else radius
        canvas.circle(sounding, y, broad, **SOLID, data_id=name)
    for label, level, above, below in line.labels:
        canvas.text(label.x, y - 10 - 11 * level, above, _NUMBER)
        canvas.text(label.x, y + 22 + 11 * level, below, 10, opacity="0.8")


def _arrow(canvas: Canvas, written: float, sounding: float, y: float) -> None:
    """From where a hit is written to where it sounds; the head never longer than the way."""
    way = sounding - written
    head = max(-4.0, min(4.0, way))
    canvas.line(written, y, sounding, y, 1)
    canvas.polygon([(sounding, y), (sounding - head, y - 3), (sounding - head, y + 3)], **SOLID)


def _key_to_marks(canvas: Canvas, x: float, y: float) -> None:
    canvas.circle(x + 4, y - 4, _MARK - 1, stroke_width="1.3")
    canvas.text(x + 13, y, "written", 11, text_anchor="start")
    canvas.circle(x + 70, y - 4, _MARK, **SOLID)
    canvas.text(x + 80, y, "sounding", 11, text_anchor="start")
