"""The engraver's SVG made fit for a page, in two steps.

`mended` and `text` change what a reader sees: text in the signs' own font, figures stacked, rings
round what is emphasised, and a few marks moved clear of each other. `compact` changes nothing that
can be seen. It leaves one `svg` element in the reader's own colour, with `data-id` on what the MEI
named, no other names, no style, and no glyph shapes: those are for the page to have once, see
`glyphs`.
"""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from stavewright.figures.figure import Drawing
from stavewright.figures.svg.accidentals import REVERSED, clear_reversed_flats
from stavewright.figures.svg.compact import compact
from stavewright.figures.svg.rings import ring_emphasised
from stavewright.figures.svg.tuplets import clear_inner_numbers

NAMESPACE: Final = "http://www.w3.org/2000/svg"
_SHEET_START: Final = '<svg class="definition-scale"'
_SHEET: Final = re.compile(
    rf'{_SHEET_START}[^>]* viewBox="0 0 (\d+) (\d+)">'
    r'<g class="page-margin" transform="translate\((-?\d+), (-?\d+)\)">'
)
_SHEET_END: Final = "</g></svg></svg>"
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
_TEXT_LINE: Final = re.compile(r'<text[^>]* y="(-?\d+)"')

_MENDS: Final[tuple[tuple[str, Callable[[ET.Element], None]], ...]] = (
    (' class="tuplet', clear_inner_numbers),
    *((f'"#{glyph}', clear_reversed_flats) for glyph in REVERSED),
    (' hl"', ring_emphasised),
)
"""What some drawings need, with the words that show it."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """What the engraver drew on, in its drawing units, and what it drew."""

    width: int
    height: int
    left: int
    """Its margins: where the units of what is drawn begin."""
    top: int
    drawn: str
    """Elements, without the shapes and the style before them."""


def finish(markup: str) -> Drawing:
    """Turn the engraver's page into a `Drawing`."""
    sheet = sheet_of(markup)
    sheet_height = sheet.height
    if _FIGURED in sheet.drawn:
        sheet_height = max(sheet_height, sheet.top + _lowest(sheet.drawn))
    overhang = _LEFT_MARGIN * UNITS_PER_PIXEL if _OVERHANGING.search(sheet.drawn) else 0
    sheet_width = sheet.width + overhang
    width, height = sheet_width / UNITS_PER_PIXEL, sheet_height / UNITS_PER_PIXEL
    box = f"{-overhang - sheet.left} {-sheet.top} {sheet_width} {sheet_height}"
    opening = f'<svg xmlns="{NAMESPACE}" class="engraved" width="{width:g}" height="{height:g}"'
    return Drawing(
        f'{opening} viewBox="{box}">{compact(mended(sheet.drawn))}</svg>',
        float(f"{width:g}"),
        float(f"{height:g}"),
    )


def sheet_of(markup: str) -> Sheet:
    """Take the engraver's page apart. Raises `ValueError` for what is no page of the engraver's."""
    start = _SHEET.match(markup, markup.find(_SHEET_START))
    if start is None or not markup.endswith(_SHEET_END):
        raise ValueError("this is no page of the engraver's")
    width, height, left, top = map(int, start.groups())
    return Sheet(width, height, left, top, markup[start.end() : -len(_SHEET_END)])


def _lowest(drawn: str) -> int:
    """Where the lowest text ends, in drawing units below the engraver's margin."""
    return max(map(int, _TEXT_LINE.findall(drawn)), default=0) + _DESCENT


def mended(drawn: str) -> str:
    """The elements the engraver drew, with those changed that are to look otherwise."""
    mends = dict.fromkeys(mend for words, mend in _MENDS if words in drawn)
    if not mends:
        return drawn
    root = ET.fromstring(f"<g>{drawn}</g>")
    for mend in mends:
        mend(root)
    markup = ET.tostring(root, encoding="unicode")
    return markup.removeprefix("<g>").removesuffix("</g>").replace(" />", "/>")
