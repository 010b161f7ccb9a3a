"""The rhythm grid: a time axis with the metre's beats, and every hit where it really sounds.

An open mark stands where the hit is written, a filled one where it sounds; where they part, an
arrow and a number tell how far: in note values and, at the block's tempo, in milliseconds.
"""

from dataclasses import dataclass
from fractions import Fraction

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.timeline import Onset, TempoMap, onsets
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.tones import spoken_list
from stavewright.notation.score import Bar, Drum, Score
from stavewright.theory import Meter

_WIDE, _NARROW = 740.0, 320.0
_ROW_HEIGHT, _HEAD = 46.0, 26.0
_LEAST_BEAT = 62.0
"""Pixels that a beat needs for its offsets to be told apart."""
_MARK = 5.0
_FINEST = 384
"""The smallest part of a whole note that a player would speak of, a triplet of 1/256."""


@dataclass(frozen=True, slots=True)
class _Row:
    """One line of the grid: a voice, or one instrument of a percussion voice."""

    name: str
    hits: tuple[Onset, ...]


@dataclass(frozen=True, slots=True)
class _System:
    """The bars that stand side by side, and how time becomes pixels in them."""

    bars: tuple[Bar, ...]
    left: float
    top: float
    scale: float
    """Pixels for a whole note."""

    def x(self, time: Fraction) -> float:
        return self.left + float(time - self.bars[0].start) * self.scale

    @property
    def end(self) -> Fraction:
        return self.bars[-1].start + self.bars[-1].length


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """A wide and a narrow drawing, each with as many bars in a row as stay legible."""
    return _drawing(score, _WIDE), _drawing(score, _NARROW)


def speak(score: Score) -> SpokenText:
    """Every hit that lies off its written time, by row, and the rows that lie on it."""
    rows = _grid_rows(score)
    line = f"Rhythm grid with {spoken_list(row.name for row in rows)}."
    return SpokenText(line, tuple(_row_in_words(score, row) for row in rows))


def _row_in_words(score: Score, row: _Row) -> str:
    moved = [hit for hit in row.hits if hit.offset]
    if not moved:
        return f"{row.name}: {_count(row)}, all as written."
    said = []
    for hit in moved:
        bar = _bar_of(score, hit)
        beat = _beat_number(bar, hit.written)
        said.append(f"bar {bar.number} beat {beat} {_offset_in_words(score, hit)}")
    return f"{row.name}: {_count(row)}; {'; '.join(said)}."


def _count(row: _Row) -> str:
    return "1 hit" if len(row.hits) == 1 else f"{len(row.hits)} hits"


def _offset_in_words(score: Score, hit: Onset) -> str:
    way = "early" if hit.offset < 0 else "late"
    value = _note_value(hit)
    gap = _milliseconds(score, hit)
    return f"{way} by {value} ({gap})" if value else f"{way} by {gap}"


def _note_value(hit: Onset) -> str:
    """The offset as a part of a whole note; empty where it was written in milliseconds."""
    value = abs(hit.offset)
    return str(value) if value.denominator <= _FINEST else ""


def _milliseconds(score: Score, hit: Onset) -> str:
    tempos = TempoMap.of(score)
    gap = abs(tempos.seconds_at(hit.sounding) - tempos.seconds_at(hit.written))
    return f"{float(gap * 1000):.1f}".removesuffix(".0") + " ms"


def _grid_rows(score: Score) -> tuple[_Row, ...]:
    rows: dict[str, list[Onset]] = {}
    for hit in onsets(score):
        # One percussion voice may play several instruments; elsewhere the voice is the row.
        sound = hit.head.sound
        name = sound.name if isinstance(sound, Drum) and hit.voice == "drums" else hit.voice
        row = rows.setdefault(name, [])
        # Notes struck together in one voice are one hit unless they part.
        if all((hit.written, hit.sounding) != (other.written, other.sounding) for other in row):
            row.append(hit)
    order = {voice.name: place for place, voice in enumerate(score.voices)}
    by_voice = sorted(rows.items(), key=lambda item: (order[item[1][0].voice], item[0]))
    return tuple(_Row(name, tuple(hits)) for name, hits in by_voice)


def _bar_of(score: Score, hit: Onset) -> Bar:
    voice = next(voice for voice in score.voices if voice.name == hit.voice)
    return score.bars[voice.events[hit.event].bar]


def _drawing(score: Score, width: float) -> Drawing:
    rows = _grid_rows(score)
    label = 14 + max((text_width(row.name, 12) for row in rows), default=0)
    systems = _systems(score, width, label, _HEAD + len(rows) * _ROW_HEIGHT)
    bottom = systems[-1].top + _HEAD + len(rows) * _ROW_HEIGHT if systems else 20
    canvas = Canvas(width, bottom + 22)
    for system in systems:
        _beats(canvas, system, len(rows))
        for place, row in enumerate(rows):
            _hits(canvas, score, system, row, system.top + _HEAD + (place + 0.5) * _ROW_HEIGHT)
    _key_to_marks(canvas, label, bottom + 14)
    return canvas.drawing()


def _systems(score: Score, width: float, label: float, height: float) -> tuple[_System, ...]:
    """Bars in rows: as many as give each beat its least room, all at one scale."""
    room = width - label - 16
    bars = [bar for bar in score.bars if bar.length > 0]
    if not bars:
        return ()
    shortest_beat = min(min(_beats_of(bar)) for bar in bars)
    longest = max(bar.length for bar in bars)
    per_row = max(1, int(room * float(shortest_beat) / (_LEAST_BEAT * float(longest))))
    per_row = min(per_row, len(bars))
    rows = [bars[start : start + per_row] for start in range(0, len(bars), per_row)]
    scale = room / max(float(sum(bar.length for bar in row)) for row in rows)
    return tuple(
        _System(tuple(row), label, index * (height + 8), scale) for index, row in enumerate(rows)
    )


def _beats_of(bar: Bar) -> tuple[Fraction, ...]:
    return bar.meter.beats if bar.meter else (Fraction(1, 4),)


def _beat_starts(bar: Bar) -> list[Fraction]:
    """Where the beats of a bar fall, from its own start; a short first bar ends on a beat."""
    meter = bar.meter or Meter.parse("4/4")
    missing = meter.length - bar.length if bar.meter and bar.number == 0 else Fraction(0)
    starts = [start - missing for start in meter.beat_starts]
    return [start for start in starts if 0 <= start < bar.length] or [Fraction(0)]


def _beat_number(bar: Bar, time: Fraction) -> str:
    """The beat on which a moment falls: `3`, or `3 + 1/16` inside it."""
    starts = _beat_starts(bar)
    inside = time - bar.start
    begun = [start for start in starts if start <= inside]
    number = _first_beat(bar) + len(begun) - 1
    rest = inside - (begun[-1] if begun else 0)
    return f"{number} + {rest}" if rest else str(number)


def _first_beat(bar: Bar) -> int:
    """The number of the first beat in the bar: later than 1 in a pickup."""
    meter = bar.meter
    if meter is None or bar.number != 0:
        return 1
    return 1 + len(meter.beats) - len(_beat_starts(bar))


def _beats(canvas: Canvas, system: _System, rows: int) -> None:
    foot = system.top + _HEAD + rows * _ROW_HEIGHT
    for bar in system.bars:
        x = system.x(bar.start)
        canvas.line(x, system.top + 16, x, foot, 1.6)
        for place, start in enumerate(_beat_starts(bar)):
            beat_x = system.x(bar.start + start)
            number = str(_first_beat(bar) + place)
            canvas.text(beat_x, system.top + 12, number, 12, font_weight="600")
            canvas.line(beat_x, system.top + 18, beat_x, foot, 0.8, opacity="0.6")
            _divisions(canvas, system, bar, start, foot)
    x = system.x(system.end)
    canvas.line(x, system.top + 16, x, foot, 1.6)


def _divisions(canvas: Canvas, system: _System, bar: Bar, start: Fraction, foot: float) -> None:
    """The quarters of a simple beat, or the thirds of a compound one, as dotted lines."""
    after = [other for other in _beat_starts(bar) if other > start]
    length = (after[0] if after else bar.length) - start
    parts = 3 if length.numerator == 3 else 4
    for part in range(1, parts):
        x = system.x(bar.start + start + length * part / parts)
        faint = "0.45" if 2 * part == parts else "0.28"
        top = system.top + _HEAD
        canvas.line(x, top, x, foot, 0.8, opacity=faint, stroke_dasharray="2 3")


def _hits(canvas: Canvas, score: Score, system: _System, row: _Row, y: float) -> None:
    canvas.text(system.left - 10, y + 4, row.name, 12, text_anchor="end")
    canvas.line(system.left, y, system.x(system.end), y, 0.8, opacity="0.35")
    inside = [hit for hit in row.hits if system.bars[0].start <= hit.written < system.end]
    for hit in inside:
        written, sounding = system.x(hit.written), system.x(hit.sounding)
        if hit.offset:
            canvas.circle(written, y, _MARK - 1, stroke_width="1.3")
            _arrow(canvas, score, hit, written, sounding, y)
        radius = _MARK + 1.5 if hit.head.emphasised else _MARK
        canvas.circle(sounding, y, radius, **SOLID)


def _arrow(
    canvas: Canvas, score: Score, hit: Onset, written: float, sounding: float, y: float
) -> None:
    way = -1 if hit.offset < 0 else 1
    base, tip = y + 10, sounding
    canvas.line(written, base, tip, base, 1)
    canvas.polygon([(tip, base), (tip - 4 * way, base - 3), (tip - 4 * way, base + 3)], **SOLID)
    middle = (written + sounding) / 2
    sign = "−" if way < 0 else "+"
    value = _note_value(hit)
    if value:
        canvas.text(middle, y - 10, f"{sign}{value}", 10.5)
    gap = _milliseconds(score, hit)
    canvas.text(middle, y + 22, gap if value else f"{sign}{gap}", 10, opacity="0.8")


def _key_to_marks(canvas: Canvas, x: float, y: float) -> None:
    canvas.circle(x + 4, y - 4, _MARK - 1, stroke_width="1.3")
    canvas.text(x + 13, y, "written", 11, text_anchor="start")
    canvas.circle(x + 70, y - 4, _MARK, **SOLID)
    canvas.text(x + 80, y, "sounding", 11, text_anchor="start")
