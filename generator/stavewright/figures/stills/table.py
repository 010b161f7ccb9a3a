"""A table of a figure as a picture: pages show it as HTML, which no picture can hold."""

import xml.etree.ElementTree as ET
from dataclasses import dataclass
from typing import Final

from stavewright.figures.figure import Drawing
from stavewright.figures.views.canvas import Canvas, text_width

_SIZE: Final = 13.0
_HEAD_SIZE: Final = 10.5
_GAP: Final = 16.0
_LINE: Final = 15.0
_PAD: Final = 5.0
_SIDE: Final = 8.0
"""Left of the first column and right of the last."""
_INSET: Final = 2.5
"""From a row's edges to the frame that lights up."""
_ONE_LINE: Final = 10_000.0
_HEAD_WIDTH: Final = 92.0
"""Pixels; longer headings are broken into lines."""


@dataclass(frozen=True, slots=True)
class _Cell:
    lines: tuple[str, ...]
    is_head: bool
    span: int

    @property
    def size(self) -> float:
        return _HEAD_SIZE if self.is_head else _SIZE

    @property
    def width(self) -> float:
        return max((text_width(line, self.size) for line in self.lines), default=0.0) * 0.86


def table_drawing(markup: str, widest: float = _ONE_LINE) -> Drawing:
    """Draw an HTML table: its cells in columns as broad as they need, a rule under each row.

    Text that is broader than `widest` pixels is broken into lines.

    Understands `thead`, `tbody`, `tr`, `th`, `td` and `colspan`; of what stands in a cell, the
    text. Raises `ET.ParseError` for markup that is not well-formed.
    """
    found = list(ET.fromstring(markup).iter("tr"))
    rows = [[_cell(cell, widest) for cell in row if cell.tag in ("th", "td")] for row in found]
    widths = _widths(rows)
    lefts = [sum(widths[:place]) + _GAP * place for place in range(len(widths) + 1)]
    heights = [max(len(cell.lines) for cell in row) * _LINE + 2 * _PAD for row in rows]
    canvas = Canvas(lefts[-1] - _GAP + 2 * _SIDE, sum(heights) + 2)
    top = 0.0
    for element, row, height in zip(found, rows, heights, strict=True):
        _frame(canvas, element, top, height)
        column = 0
        for cell in row:
            _draw(canvas, cell, lefts[column] + _SIDE, top)
            column += cell.span
        top += height
        canvas.line(0, top, canvas.width, top, 0.8, opacity="0.4")
    return canvas.drawing()


def _frame(canvas: Canvas, row: ET.Element, top: float, height: float) -> None:
    """What lights up with a row: a frame round it, not to be seen before."""
    names = {name.replace("-", "_"): v for name, v in row.items() if name.startswith("data-")}
    if names:
        look = {"rx": "3", "fill_opacity": "0", "stroke_width": "0", **names}
        canvas.rect(_INSET, top + _INSET, canvas.width - 2 * _INSET, height - 2 * _INSET, **look)


def _cell(cell: ET.Element, widest: float) -> _Cell:
    words = " ".join("".join(cell.itertext()).split())
    is_head = cell.tag == "th" and cell.get("scope") == "col"
    span = int(cell.get("colspan", "1"))
    room = (_HEAD_SIZE, _HEAD_WIDTH) if is_head else (_SIZE, widest * span)
    return _Cell(_broken(words, *room), is_head, span)


def _broken(words: str, size: float, room: float) -> tuple[str, ...]:
    lines: list[str] = []
    for word in words.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines) or ("",)


def _widths(rows: list[list[_Cell]]) -> list[float]:
    """Of each column; a cell over several widens the last of them."""
    count = max(sum(cell.span for cell in row) for row in rows)
    widths = [0.0] * count
    for spans in (False, True):
        for row in rows:
            column = 0
            for cell in row:
                over = widths[column : column + cell.span]
                if (cell.span > 1) == spans:
                    missing = cell.width - sum(over) - _GAP * (len(over) - 1)
                    widths[column + len(over) - 1] += max(0.0, missing)
                column += cell.span
    return widths


def _draw(canvas: Canvas, cell: _Cell, left: float, top: float) -> None:
    look = {"text_anchor": "start"}
    if cell.is_head:
        look |= {"opacity": "0.75", "font_weight": "700"}
    for place, line in enumerate(cell.lines):
        canvas.text(left, top + _PAD + _LINE * (place + 0.78), line, cell.size, **look)
