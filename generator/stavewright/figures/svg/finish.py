"""The engraver's SVG made fit for a page, in two steps.

`mend` changes what a reader sees: text in the signs' own font, figures stacked, rings round what is
emphasised, and a few marks moved clear of each other. `compact` changes nothing that can be seen.
It leaves one `svg` element in the reader's own colour, with `data-id` on what the MEI named, no
other names, no style, and no glyph shapes: those are for the page to have once, see `glyphs`.
"""

import re
import xml.etree.ElementTree as ET
from typing import Final

from stavewright.figures.figure import Drawing
from stavewright.figures.svg.accidentals import REVERSED, clear_reversed_flats
from stavewright.figures.svg.compact import compact
from stavewright.figures.svg.rings import ring_emphasised
from stavewright.figures.svg.text import set_text
from stavewright.figures.svg.tuplets import clear_inner_numbers

NAMESPACE: Final = "http://www.w3.org/2000/svg"
_TEXT: Final = f"{{{NAMESPACE}}}text"
_INKED: Final = ' stroke="currentColor"'
"""On every shape: `figure.css` says so for all."""
_INNER: Final = '<svg class="definition-scale"'
_END: Final = "</svg>"
UNITS_PER_PIXEL: Final = 25
"""Of the engraver's drawing units, at the scale we ask for. The size that it writes beside them is
in whole pixels, or in millimetres that mean tenths of the same pixels."""
_OVERHANGING: Final = re.compile(
    r' class="grpSym"| class="mNum[^>]*><text[^>]*><tspan[^>]*><tspan[^>]*>\d\d'
)
"""Braces, brackets and bar numbers from 10, for which the engraver forgets to keep a margin."""
_LEFT_MARGIN: Final = 9
"""Pixels to the left of the staves for those."""
_FIGURED: Final = 'class="fb"'
"""Rows below a figured bass are moved down, for which the engraver keeps no room either."""
_DESCENT: Final = 120
"""Drawing units that letters and lowered figures reach below their line, and a little air."""


def finish(markup: str) -> Drawing:
    """Turn the engraver's page into a `Drawing`."""
    inner = drawn(markup)
    mend(inner, markup)
    body, (margin_left, margin_top) = compact(inner)
    _, _, inner_width, inner_height = (float(it) for it in inner.get("viewBox", "").split())
    if _FIGURED in markup:
        inner_height = max(inner_height, margin_top + _lowest(inner))
    left = _LEFT_MARGIN * UNITS_PER_PIXEL if _OVERHANGING.search(markup) else 0
    width, height = (inner_width + left) / UNITS_PER_PIXEL, inner_height / UNITS_PER_PIXEL
    box = f"{-left - margin_left:g} {-margin_top:g} {inner_width + left:g} {inner_height:g}"
    opening = f'<svg xmlns="{NAMESPACE}" class="engraved" width="{width:g}" height="{height:g}"'
    return Drawing(
        f'{opening} viewBox="{box}">{body}</svg>', float(f"{width:g}"), float(f"{height:g}")
    )


def drawn(markup: str) -> ET.Element:
    """The engraver's inner `svg`: what it drew, without the shapes and the style before it."""
    start, end = markup.index(_INNER), markup.rindex(_END)
    content = markup[start + len("<svg") : end].replace(_INKED, "")
    return ET.fromstring(f'<svg xmlns="{NAMESPACE}"{content}')


def _lowest(inner: ET.Element) -> float:
    """Where the lowest text ends, in drawing units below the engraver's margin."""
    lines = (float(text.get("y", "0")) for text in inner.iter(_TEXT))
    return max(lines, default=0.0) + _DESCENT


def mend(inner: ET.Element, markup: str) -> None:
    """Change what is to look otherwise in the engraver's inner `svg` of the page `markup`."""
    if "<text" in markup:
        set_text(inner)
    if ' class="tuplet' in markup:
        clear_inner_numbers(inner)
    if any(f"#{glyph}" in markup for glyph in REVERSED):
        clear_reversed_flats(inner)
    if ' hl"' in markup:
        ring_emphasised(inner)
