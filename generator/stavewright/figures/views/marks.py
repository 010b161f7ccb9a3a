"""Marks that tell voices apart by their shape, never by their colour."""

from stavewright.figures.views.canvas import SOLID, Canvas, text_width

_OUTLINE = {"stroke_width": "1.6"}
_SHAPES = 4
_ROW = 18.0
_SIZE = 12.0


def mark(canvas: Canvas, place: int, x: float, y: float, size: float, **more: str) -> None:
    """A mark for the voice at `place`: a shape, filled or open; past eight voices a number."""
    shape, is_open = divmod(place, 2)
    if shape >= _SHAPES:
        canvas.text(x, y + size * 0.8, str(place + 1), 2.2 * size, **more)
        return
    look = {**(_OUTLINE if is_open else SOLID), **more}
    inner = size - 0.8 * is_open
    if shape == 0:
        canvas.circle(x, y, inner, **look)
    elif shape == 1:
        canvas.rect(x - inner, y - inner, 2 * inner, 2 * inner, **look)
    elif shape == 2:
        far = size + 1
        canvas.polygon([(x, y - far), (x + far, y), (x, y + far), (x - far, y)], **look)
    else:
        far = size + 0.5
        canvas.polygon([(x, y - far), (x + far, y + size), (x - far, y + size)], **look)


def legend_rows(names: tuple[str, ...], width: float) -> list[list[str]]:
    """The names in rows that fit a width; none for a single voice, which needs no legend."""
    if len(names) < 2:
        return []
    rows: list[list[str]] = [[]]
    used = 0.0
    for name in names:
        if rows[-1] and used + _entry(name) > width:
            rows.append([])
            used = 0.0
        rows[-1].append(name)
        used += _entry(name)
    return rows


def legend_height(rows: list[list[str]]) -> float:
    """The room that a legend needs."""
    return len(rows) * _ROW


def legend(canvas: Canvas, rows: list[list[str]], x: float, top: float) -> None:
    """Which mark is which voice."""
    place = 0
    for number, row in enumerate(rows):
        at, y = x, top + number * _ROW + 13
        for name in row:
            mark(canvas, place, at + 5, y - 4, 4)
            canvas.text(at + 14, y, name, _SIZE, text_anchor="start")
            at += _entry(name)
            place += 1


def _entry(name: str) -> float:
    return 26 + text_width(name, _SIZE)
