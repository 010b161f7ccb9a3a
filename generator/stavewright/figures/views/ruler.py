"""The tuning ruler: an axis in cents, equal steps below it and what sounds above.

A round mark lies on an equal step, a diamond between two; how far off is written under its name.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.labels import name_text, no_pitch_words
from stavewright.figures.views.ruler_rows import (
    OCTAVE,
    SCOPE,
    Mark,
    RulerRow,
    cents_text,
    division,
    is_reading,
    ruler_rows,
    ruler_words,
)
from stavewright.notation.score import Score
from stavewright.theory.tuning import EqualDivision

_WIDE, _NARROW = 660.0, 320.0
_SIDE = 16.0
_NAME, _NUMBER = 13.0, 10.5
_TIER = 40.0
"""Height of a name with its two numbers."""
_LEAD = 20.0
"""Between the names and the axis."""
_TICKS = 30.0
_TITLE = 18.0
_GAP = 4.0
_LEAST_TICK = 34.0
"""Pixels between numbers on the axis."""


@dataclass(frozen=True, slots=True)
class _Tag:
    """The words of one mark, and where they stand."""

    mark: Mark
    middle: float
    tier: int


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """A wide ruler and one for a phone."""
    rows = ruler_rows(score)
    if rows:
        return _drawing(score, rows, _WIDE), _drawing(score, rows, _NARROW)
    words = no_pitch_words(score)
    canvas = Canvas(min(_NARROW, text_width(words, 12) + 2), 24)
    canvas.text(0, 16, words, min(12, 12 * _NARROW / text_width(words, 12)), text_anchor="start")
    return canvas.drawing(), None


def speak(score: Score) -> SpokenText:
    """Every tone in cents, and how far it lies from the nearest equal step."""
    return SpokenText(*ruler_words(score))


def _drawing(score: Score, rows: tuple[RulerRow, ...], width: float) -> Drawing:
    steps = division(score)
    tags = [_tags(row.marks, width) for row in rows]
    heights = [_row_height(row, found) for row, found in zip(rows, tags, strict=True)]
    lines = _foot(score, rows, steps, width)
    canvas = Canvas(width, sum(heights) + 16 * len(lines) + 22)
    top = 0.0
    for row, found, height in zip(rows, tags, heights, strict=True):
        _row(canvas, row, found, steps, (top, top + height))
        top += height
    _legend(canvas, rows, top + 12)
    for number, words in enumerate(lines):
        canvas.text(_SIDE, top + 30 + 16 * number, words, 11, text_anchor="start", opacity="0.85")
    return canvas.drawing()


def _row_height(row: RulerRow, tags: Sequence[_Tag]) -> float:
    tiers = 1 + max(tag.tier for tag in tags)
    return (_TITLE if row.title else 2) + tiers * _TIER + _LEAD + _TICKS + 8


def _foot(
    score: Score, rows: tuple[RulerRow, ...], steps: EqualDivision, width: float
) -> list[str]:
    """What the axis counts, in lines that fit."""
    start = name_text(rows[0].start.name)
    above = f"from {start}" if len(rows) == 1 else "from the lowest note of each"
    said = [f"Cents {above}, against {steps.steps} equal steps of {cents_text(steps.step)}."]
    if any(row.is_folded for row in rows):
        said.append("All octaves are folded into one.")
    if is_reading(score):
        said.append(SCOPE)
    return _wrapped(" ".join(said), width - 2 * _SIDE)


def _wrapped(words: str, width: float) -> list[str]:
    lines: list[str] = []
    for word in words.split():
        if lines and text_width(f"{lines[-1]} {word}", 11) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def _x(cents: float, width: float) -> float:
    return _SIDE + cents * (width - 2 * _SIDE) / OCTAVE


def _tags(marks: Sequence[Mark], width: float) -> list[_Tag]:
    """Names side by side, pushed apart as little as needed; in tiers where one has no room."""
    tiers = 1
    while tiers < len(marks) and not all(_fits(marks[t::tiers], width) for t in range(tiers)):
        tiers += 1
    found = []
    for tier in range(tiers):
        here = marks[tier::tiers]
        for mark, middle in zip(here, _spread(here, width), strict=True):
            found.append(_Tag(mark, middle, tier))
    return found


def _fits(marks: Sequence[Mark], width: float) -> bool:
    return sum(_tag_width(mark) + _GAP for mark in marks) <= width - 2 * _GAP


def _tag_width(mark: Mark) -> float:
    name = text_width(_plain(mark), _NAME)
    numbers = (text_width(words, _NUMBER) for words in (str(mark.cents), mark.off_text))
    return max(name, *numbers)


def _spread(marks: Sequence[Mark], width: float) -> list[float]:
    """Middles in order, each as near its mark as its neighbors and the edges leave it."""
    halves = [_tag_width(mark) / 2 for mark in marks]
    middles: list[float] = []
    edge = 1.0
    for mark, half in zip(marks, halves, strict=True):
        middles.append(max(_x(mark.cents, width), edge + half))
        edge = middles[-1] + half + _GAP
    edge = width - 1
    for at in reversed(range(len(marks))):
        middles[at] = min(middles[at], edge - halves[at])
        edge = middles[at] - halves[at] - _GAP
    return middles


def _plain(mark: Mark) -> str:
    """Names without their cents, which the ruler measures; quarter tones have their own signs."""
    return "/".join(dict.fromkeys(re.split(r"[+−(]", name_text(name))[0] for name in mark.names))


def _row(
    canvas: Canvas,
    row: RulerRow,
    tags: Sequence[_Tag],
    steps: EqualDivision,
    ends: tuple[float, float],
) -> None:
    top, foot = ends
    axis = foot - _TICKS - 8
    canvas.text(2, top + 13, row.title, _NAME, text_anchor="start", font_weight="600")
    _axis(canvas, steps, axis)
    for tag in tags:
        _tag(canvas, row, tag, axis)


def _axis(canvas: Canvas, steps: EqualDivision, y: float) -> None:
    """The line and its equal steps; numbers where they have room."""
    width = canvas.width
    canvas.line(_x(0, width), y, _x(OCTAVE, width), y, 1.4)
    between = _x(float(steps.step), width) - _x(0, width)
    every = _numbered(steps, between)
    for number in range(steps.steps + 1):
        x = _x(float(steps.cents(number)), width)
        is_numbered = number % every == 0
        canvas.line(x, y, x, y + (9 if is_numbered else 6), 1.2 if is_numbered else 0.8)
        if is_numbered:
            canvas.text(x, y + 21, cents_text(steps.cents(number)), 10, opacity="0.8")


def _numbered(steps: EqualDivision, between: float) -> int:
    """Every how many steps a number has room; half steps are numbered sooner than other parts."""
    parts = [n for n in range(1, steps.steps + 1) if steps.steps % n == 0]
    fitting = [n for n in parts if n * between >= _LEAST_TICK]
    return min(fitting, key=lambda n: (steps.cents(n) % 100 != 0, n), default=steps.steps)


def _tag(canvas: Canvas, row: RulerRow, tag: _Tag, axis: float) -> None:
    mark = tag.mark
    foot = axis - _LEAD - tag.tier * _TIER
    x = _x(mark.cents, canvas.width)
    canvas.line(tag.middle, foot + 3, x, axis - 5, 0.8, opacity="0.55")
    weight = "800" if mark.emphasised else "600"
    canvas.text(tag.middle, foot - 24, _plain(mark), _NAME, font_weight=weight)
    canvas.text(tag.middle, foot - 11, str(mark.cents), _NUMBER)
    canvas.text(tag.middle, foot, mark.off_text, _NUMBER)
    lit = _lit(row, mark)
    if mark.off:
        _diamond(canvas, x, axis, **lit)
    else:
        canvas.circle(x, axis, 5, **SOLID, **lit)


def _lit(row: RulerRow, mark: Mark) -> dict[str, str]:
    """What lights a mark: its own notes in a chord; else its key, or its class in any octave."""
    if row.by_note:
        return {"data_id": " ".join(mark.ids)}
    if row.is_folded:
        return {"data_class": f"{mark.names[0].cents / 100:g}"}
    return {"data_key": " ".join(mark.ids)}


def _diamond(canvas: Canvas, x: float, y: float, **more: str) -> None:
    corners = [(x, y - 7), (x + 5.5, y), (x, y + 7), (x - 5.5, y)]
    canvas.polygon(corners, fill="currentColor", stroke="none", **more)


def _legend(canvas: Canvas, rows: Sequence[RulerRow], y: float) -> None:
    """What a mark means, of those that are there."""
    offs = {bool(mark.off) for row in rows for mark in row.marks}
    x = _SIDE + 5
    if False in offs:
        canvas.circle(x, y - 4, 4, **SOLID)
        canvas.text(x + 10, y, "on an equal step", 11, text_anchor="start", opacity="0.85")
        x += 125
    if True in offs:
        corners = [(x, y - 10), (x + 5, y - 4), (x, y + 2), (x - 5, y - 4)]
        canvas.polygon(corners, **SOLID)
        words = "off a step, by so many ¢"
        canvas.text(x + 11, y, words, 11, text_anchor="start", opacity="0.85")
