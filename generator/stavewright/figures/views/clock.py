"""The pitch-class clock: the twelve pitch classes in a ring, C at the top, rising clockwise.

What sounds is joined to one shape; the chords of a short list have a shape each, so that one sees
what they share and how one turns into the other.
"""

from collections.abc import Iterable, Iterator
from itertools import pairwise
from math import cos, pi, sin

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.spoken import name_words
from stavewright.figures.spoken.tones import listed
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.clock_shapes import (
    DASHES,
    ClockShape,
    chord_shapes,
    legend,
    legend_height,
    legend_rows,
)
from stavewright.figures.views.labels import name_text, no_pitch_words
from stavewright.figures.views.tones import tones
from stavewright.notation.score import Score
from stavewright.theory import PitchName

_WIDTH, _HEIGHT, _RADIUS = 328.0, 266.0, 90.0
_PLAIN = ("C", "C♯/D♭", "D", "D♯/E♭", "E", "F", "F♯/G♭", "G", "G♯/A♭", "A", "A♯/B♭", "B")
_OCTAVE = 1200
_NEAR = 70
"""Cents within which two names would touch."""

Classes = dict[int, list[PitchName]]
"""Spellings by cents above C, rising."""


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """One drawing; it fits a phone."""
    names = spelled_classes(score)
    shapes = chord_shapes(score)
    rows = legend_rows(shapes, _WIDTH)
    canvas = Canvas(_WIDTH, _HEIGHT + legend_height(rows) + (0 if names else 16))
    canvas.circle(_WIDTH / 2, _HEIGHT / 2, _RADIUS, opacity="0.45")
    _outlines(canvas, tuple(names), shapes)
    legend(canvas, rows, _HEIGHT)
    for cents in range(0, _OCTAVE, 100):
        if cents not in names:
            x, y = _place(cents, _RADIUS)
            canvas.circle(x, y, 2.2, **SOLID, opacity="0.5")
        if all(_apart(cents, other) >= _NEAR for other in names):
            _name(canvas, cents, _PLAIN[cents // 100], 10.5, opacity="0.7")
        elif cents not in names:
            # A quarter tone's name stands in its way outside.
            half = text_width(_PLAIN[cents // 100], 9.5) / 2
            x, y = _place(cents, _RADIUS - 14 - half * abs(sin(2 * pi * cents / _OCTAVE)))
            canvas.text(x, y + 3.5, _PLAIN[cents // 100], 9.5, opacity="0.7")
    for cents in names:
        x, y = _place(cents, _RADIUS)
        canvas.circle(x, y, 6.5, **SOLID, data_class=f"{cents / 100:g}")
    for middle, words in _labels(names):
        _name(canvas, middle, words, 14, font_weight="600")
    if not names:
        canvas.text(_WIDTH / 2, _HEIGHT + 8, no_pitch_words(score), 12)
    return canvas.drawing(), None


def speak(score: Score) -> SpokenText:
    """The pitch classes clockwise, and the half steps from each to the next."""
    names = spelled_classes(score)
    if not names:
        return SpokenText(f"Pitch-class clock. {no_pitch_words(score)}", ())
    line = f"Pitch-class clock with {_in_words(names, names)}."
    if len(names) < 2:
        return SpokenText(line, ())
    shapes = chord_shapes(score)
    if shapes:
        return SpokenText(line, tuple(_shapes_in_words(names, shapes)))
    steps = ", ".join(f"{step / 100:g}" for step in steps_round(names))
    return SpokenText(line, (f"Half steps from each to the next, round to the first: {steps}.",))


def steps_round(names: Classes) -> list[int]:
    """Cents from each class to the next, the last back to the first; they make an octave."""
    cents = list(names)
    return [after - before for before, after in pairwise([*cents, cents[0] + _OCTAVE])]


def spelled_classes(score: Score) -> Classes:
    """Every pitch class that sounds, with its spellings."""
    found: Classes = {}
    for tone in tones(score):
        spellings = found.setdefault(tone.pitch.name.cents, [])
        if tone.pitch.name not in spellings:
            spellings.append(tone.pitch.name)
    return dict(sorted(found.items()))


def _outlines(canvas: Canvas, classes: tuple[int, ...], shapes: tuple[ClockShape, ...]) -> None:
    """What joins the classes: each chord's own outline, or one for all."""
    for shape, dashes in zip(shapes, DASHES, strict=False):
        look = {"fill": "currentColor", "fill_opacity": "0.06", "stroke_width": "1.6"}
        corners = [_place(name.cents, _RADIUS) for name in shape.tones]
        canvas.polygon(corners, **look, stroke_dasharray=dashes, data_id=" ".join(shape.ids))
    if shapes:
        return
    places = [_place(cents, _RADIUS) for cents in classes]
    if len(places) > 2:
        canvas.polygon(places, fill="currentColor", fill_opacity="0.07")
    elif len(places) == 2:
        canvas.line(*places[0], *places[1])


def _shapes_in_words(names: Classes, shapes: tuple[ClockShape, ...]) -> Iterator[str]:
    """Each chord's corners, and those that all of them have."""
    for shape in shapes:
        words = shape.words[:1].upper() + shape.words[1:]
        yield f"{words}: {listed([*map(name_words, shape.tones)])}."
    classes = ({name.cents for name in shape.tones} for shape in shapes)
    shared = _in_words(names, sorted(set.intersection(*classes)))
    they = "Both" if len(shapes) == 2 else "All"
    yield f"{they} share {shared}." if shared else "They share no pitch class."


def _in_words(names: Classes, classes: Iterable[int]) -> str:
    return listed([" or ".join(map(name_words, names[cents])) for cents in classes])


def _apart(one: int, other: int) -> int:
    around = (one - other) % _OCTAVE
    return min(around, _OCTAVE - around)


def _labels(names: Classes) -> list[tuple[float, str]]:
    """(cents, words): classes too near for words of their own share them, at their middle."""
    groups: list[list[int]] = []
    for cents in names:
        if groups and cents - groups[-1][0] < _NEAR:
            groups[-1].append(cents)
        else:
            groups.append([cents])
    return [
        (
            (group[0] + group[-1]) / 2,
            "/".join(name_text(name) for cents in group for name in names[cents]),
        )
        for group in groups
    ]


def _place(cents: float, radius: float) -> tuple[float, float]:
    turn = 2 * pi * cents / _OCTAVE
    return _WIDTH / 2 + radius * sin(turn), _HEIGHT / 2 - radius * cos(turn)


def _name(canvas: Canvas, cents: float, words: str, size: float, **more: str) -> None:
    """Words outside the ring; smaller where they would not fit beside it."""
    x, y = _place(cents, _RADIUS + 17)
    side = x - _WIDTH / 2
    anchor = "middle" if abs(side) < 8 else "start" if side > 0 else "end"
    room = _WIDTH if anchor == "middle" else _WIDTH / 2 - abs(side)
    size = min(size, size * (room - 1) / text_width(words, size))
    lift = 0.36 + 0.4 * (y - _HEIGHT / 2) / _RADIUS
    canvas.text(x, y + size * lift, words, size, text_anchor=anchor, **more)
