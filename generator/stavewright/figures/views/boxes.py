"""Chord boxes: one small upright fretboard for each fingering."""

from stavewright.figures.figure import Drawing
from stavewright.figures.fingering import SPAN, Fingering
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.labels import Label, levels, name_text
from stavewright.figures.views.shapes import Shape

_GAP, _FRET = 18.0, 24.0
_TITLE, _SIDE = 15.0, 52.0
_GRID_TOP = 48.0
_LEAST_WIDTH = 142.0
_NOTE_SIZE = 10.5


def draw_boxes(shapes: tuple[Shape, ...], strings: int, room: float) -> Drawing:
    """The boxes in rows that fit the room."""
    notes = max((text_width(shape.note, _NOTE_SIZE) for shape in shapes), default=0)
    width = max(_LEAST_WIDTH, (strings - 1) * _GAP + _SIDE, min(notes + 8, room / 2))
    columns = min(len(shapes), max(1, int(room // width)))
    rows = -(-len(shapes) // columns)
    lines = max(len(_lines(shape.note, width)) for shape in shapes)
    height = _GRID_TOP + SPAN * _FRET + 34 + 13 * lines
    signs = _signs(shapes)
    canvas = Canvas(columns * width, rows * height + (18 if signs else 0))
    for place, shape in enumerate(shapes):
        left, top = place % columns * width, place // columns * height
        _box(canvas, shape, left + width / 2, top, strings)
        for number, words in enumerate(_lines(shape.note, width)):
            y = top + (height - 13 * (lines - number) + 4 if shape.fingering else 96 + 13 * number)
            canvas.text(left + width / 2, y, words, _NOTE_SIZE)
    canvas.text(canvas.width / 2, canvas.height - 5, signs, _NOTE_SIZE)
    return canvas.drawing()


def _signs(shapes: tuple[Shape, ...]) -> str:
    """What the signs above the strings mean, so far as there are any."""
    stops = {fret for shape in shapes if shape.fingering for fret in shape.fingering.frets}
    said = (("× not struck", None), ("○ open", 0))
    return "   ".join(words for words, fret in said if fret in stops)


def _lines(note: str, width: float) -> list[str]:
    """A note in lines that fit its box."""
    lines: list[str] = []
    for word in note.split():
        if lines and text_width(f"{lines[-1]} {word}", _NOTE_SIZE) <= width - 4:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def _box(canvas: Canvas, shape: Shape, middle: float, top: float, strings: int) -> None:
    width = (strings - 1) * _GAP
    size = min(_TITLE, _TITLE * (width + _SIDE - 4) / max(1, text_width(shape.title, _TITLE)))
    canvas.text(middle, top + 18, shape.title, size, font_weight="600")
    # Unseen until its chord sounds: then a line under the symbol.
    half, lit = text_width(shape.title, size) / 2, " ".join(shape.ids)
    canvas.line(middle - half, top + 24, middle + half, top + 24, 0, data_id=lit)
    if shape.fingering is None:
        return
    x0, y0 = middle - width / 2, top + _GRID_TOP
    base = _first_fret(shape.fingering)
    foot = y0 + SPAN * _FRET
    for fret in range(SPAN + 1):
        is_nut = base == 1 and fret == 0
        canvas.line(x0, y0 + fret * _FRET, x0 + width, y0 + fret * _FRET, 3 if is_nut else 1)
    if base > 1:
        canvas.text(x0 - 11, y0 + _FRET * 0.5 + 4, str(base), 11, text_anchor="end")
    for string, stop in enumerate(shape.fingering.frets):
        x = x0 + string * _GAP
        canvas.line(x, y0, x, foot)
        _stop(canvas, x, y0, stop, base, lit)
    _names(canvas, shape.fingering, x0, foot)


def _names(canvas: Canvas, found: Fingering, x0: float, foot: float) -> None:
    """What each string sounds, under it; names that would touch stand on two levels."""
    labels = [
        Label(x0 + string * _GAP, name_text(name), 11)
        for string, name in enumerate(found.names)
        if name
    ]
    for label, level in zip(labels, levels(labels, gap=1), strict=True):
        canvas.text(label.x, foot + 16 + 12 * level, label.words, label.size)


def _first_fret(found: Fingering) -> int:
    return 1 if max(found.pressed, default=0) <= SPAN else min(found.pressed)


def _stop(canvas: Canvas, x: float, y0: float, fret: int | None, base: int, lit: str) -> None:
    if fret is None:
        for way in (-1, 1):
            canvas.line(x - 4, y0 - 10 - 4 * way, x + 4, y0 - 10 + 4 * way, 1.4)
    elif fret == 0:
        canvas.circle(x, y0 - 10, 4, stroke_width="1.4")
    else:
        canvas.circle(x, y0 + (fret - base + 0.5) * _FRET, 6.5, **SOLID, data_id=lit)
