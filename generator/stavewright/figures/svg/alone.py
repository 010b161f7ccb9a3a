"""A drawing that leaves its page: with the shapes and the style that the page has for all."""

import re
from typing import Final

from stavewright.figures.figure import Drawing
from stavewright.figures.svg.glyphs import glyphs_in, shapes_of

FAMILIES: Final = (
    "Stavewright Serif, Times New Roman, Times, Liberation Serif, Nimbus Roman, Tinos, FreeSerif, "
    "DejaVu Serif Condensed, serif"
)
"""The engraver spaces text by the widths of Times; all of these but the last two have them.
The first travels with the package, for pictures that must look the same everywhere; `figure.css`
names the others."""
_OPENING: Final = re.compile(r"<svg\b[^>]*>")
_ENGRAVED: Final = ' class="engraved"'
_INK: Final = ' fill="currentColor" stroke="currentColor" overflow="visible"'


def standalone(drawing: Drawing) -> str:
    """The SVG of a drawing by itself, as `figure.css` shows it in a page.

    It has its own glyph shapes, names the faces of its text, and draws in `currentColor`: give the
    root a `color` for another than black. Raises `ValueError` for a drawing that is a table.
    """
    opening = _OPENING.match(drawing.markup)
    if opening is None:
        raise ValueError("this view is a table, not a picture")
    if _ENGRAVED not in opening[0]:
        return drawing.markup
    shapes = shapes_of(glyphs_in(drawing.markup))
    root = f'{opening[0][:-1]}{_INK} font-family="{FAMILIES}">'
    # The engraver strokes all but text and glyphs, by a hair at least.
    content = drawing.markup[opening.end() :]
    for bare in ("<text ", "<use "):
        content = content.replace(bare, f'{bare}stroke="none" ')
    return f"{root}{shapes}{content}"
