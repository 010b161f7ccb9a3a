"""A small sheet to draw the views on: SVG elements with rounded numbers, in the page's own ink.

Only `currentColor` is used, thinned by opacity, so that a drawing follows the page into the dark
and onto paper. Nothing carries an id, a style or a script.
"""

from collections.abc import Iterable
from functools import lru_cache
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from stavewright.figures.figure import Drawing

TEXT_FONT = "Stavewright Signs, system-ui, Segoe UI, Roboto, DejaVu Sans, sans-serif"


class Canvas:
    """Collects shapes; `drawing()` gives the finished picture. Lengths are CSS pixels."""

    def __init__(self, width: float, height: float) -> None:
        self.width = width
        self.height = height
        self._parts: list[str] = []

    def line(
        self, x1: float, y1: float, x2: float, y2: float, width: float = 1, **more: str
    ) -> None:
        """A straight stroke."""
        ends = f'x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}"'
        self._parts.append(f"<line {ends}{_stroke(width, tuple(more.items()))}/>")

    def rect(self, x: float, y: float, width: float, height: float, **more: str) -> None:
        """A rectangle; give `fill`, `stroke` … or get an outline."""
        box = f'x="{_n(x)}" y="{_n(y)}" width="{_n(width)}" height="{_n(height)}"'
        self._parts.append(f"<rect {box}{_look(_OUTLINE, tuple(more.items()))}/>")

    def circle(self, x: float, y: float, radius: float, **more: str) -> None:
        """A circle; an outline unless `fill` is given."""
        place = f'cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}"'
        self._parts.append(f"<circle {place}{_look(_OUTLINE, tuple(more.items()))}/>")

    def polygon(self, points: Iterable[tuple[float, float]], **more: str) -> None:
        """A closed shape through the points."""
        corners = " ".join(f"{_n(x)},{_n(y)}" for x, y in points)
        look = _look(_OUTLINE, tuple(more.items()))
        self._parts.append(f'<polygon points="{corners}"{look}/>')

    def text(self, x: float, y: float, words: str, size: float = 12, **more: str) -> None:
        """Words centred on `x` with their baseline at `y`, unless `text_anchor` says otherwise.

        No words leave no trace.
        """
        if not words:
            return
        look = _lettering(size, tuple(more.items()))
        self._parts.append(f'<text x="{_n(x)}" y="{_n(y)}"{look}>{escape(words)}</text>')

    def drawing(self) -> Drawing:
        """The picture as one `<svg>` element."""
        size = f'width="{_n(self.width)}" height="{_n(self.height)}"'
        box = f'viewBox="0 0 {_n(self.width)} {_n(self.height)}"'
        font = f"font-family={quoteattr(TEXT_FONT)}"
        head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box} {font}>'
        return Drawing(head + "".join(self._parts) + "</svg>", self.width, self.height)


_Attributes = tuple[tuple[str, str], ...]
_OUTLINE: Final[_Attributes] = (("fill", "none"), ("stroke", "currentColor"), ("stroke-width", "1"))
SOLID = {"fill": "currentColor", "stroke": "none"}
"""For a filled shape."""


@lru_cache(maxsize=1024)  # hundreds of shapes in a drawing look alike
def _look(usual: _Attributes, more: _Attributes) -> str:
    """Attributes that say how a shape looks; `more`, with `_` for hyphens, wins over the usual."""
    changed = {name.replace("_", "-"): value for name, value in more}
    return "".join(f" {name}={quoteattr(v)}" for name, v in {**dict(usual), **changed}.items())


@lru_cache(maxsize=256)
def _stroke(width: float, more: _Attributes) -> str:
    return _look((("stroke", "currentColor"), ("stroke-width", _n(width))), more)


@lru_cache(maxsize=256)
def _lettering(size: float, more: _Attributes) -> str:
    setting = (("font-size", _n(size)), ("text-anchor", "middle"), ("fill", "currentColor"))
    return _look(setting, more)


@lru_cache(maxsize=4096)  # heights, widths and beats come again and again
def _n(number: float) -> str:
    """Two decimals at most, the same on every machine."""
    # A zero added takes the sign from a negative zero, which is equal to the other and remembered.
    return f"{round(float(number), 2) + 0.0:.2f}".rstrip("0").rstrip(".") or "0"


def text_width(words: str, size: float) -> float:
    """A safe guess at how broad words are set, for laying things out without a font at hand."""
    return 0.58 * size * len(words)
