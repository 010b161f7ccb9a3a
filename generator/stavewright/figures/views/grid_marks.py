"""The marks of a rhythm grid and the key to them: told apart by shape, so that a glance is enough.

A hit that the player moves early points back, one that is late points on; a round one sounds where
it is written, or where the swing has it. An open ring stands where a moved hit is written.
"""

from collections.abc import Iterable

from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.grid_rows import Kind

_WORDS = 11.0
_RING = 4.0
_ROW = 18.0


def draw_mark(canvas: Canvas, kind: Kind, x: float, y: float, radius: float, **more: str) -> None:
    """One mark, its middle at the moment that it means."""
    if kind is Kind.WRITTEN:
        canvas.circle(x, y, radius - 1, stroke_width="1.3", **more)
    elif kind in (Kind.EARLY, Kind.LATE):
        way = (radius + 1) * (-1 if kind is Kind.EARLY else 1)
        high = radius + 1.5
        corners = [(x + way, y), (x - way, y - high), (x - way, y + high)]
        canvas.polygon(corners, **SOLID, **more)
    else:
        canvas.circle(x, y, radius, **SOLID, **more)


def key_rows(kinds: Iterable[Kind], width: float) -> list[list[Kind]]:
    """The kinds that a grid needs explained, in rows that fit; none where nothing is moved."""
    found = set(kinds)
    if found <= {Kind.PLAIN}:
        return []
    if Kind.SWUNG in found:
        # Both are round: whether a hit swings is seen from its ring.
        found.discard(Kind.PLAIN)
    rows: list[list[Kind]] = [[]]
    used = 0.0
    for kind in [kind for kind in Kind if kind in found or kind is Kind.WRITTEN]:
        if rows[-1] and used + _entry(kind) > width:
            rows.append([])
            used = 0.0
        rows[-1].append(kind)
        used += _entry(kind)
    return rows


def key_height(rows: list[list[Kind]]) -> float:
    """The room that the key needs."""
    return len(rows) * _ROW + 4 if rows else 0.0


def draw_key(canvas: Canvas, rows: list[list[Kind]], left: float, top: float) -> None:
    """What each mark means."""
    for number, row in enumerate(rows):
        x, y = left, top + number * _ROW + 13
        for kind in row:
            draw_mark(canvas, kind, x + 6, y - 4, _RING + 1)
            canvas.text(x + 16, y, kind.value, _WORDS, text_anchor="start")
            x += _entry(kind)


def _entry(kind: Kind) -> float:
    return 28 + text_width(kind.value, _WORDS)
