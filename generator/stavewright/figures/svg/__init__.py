"""What is done to the engraver's SVG before it may stand in a page."""

from stavewright.figures.svg.alone import standalone
from stavewright.figures.svg.finish import UNITS_PER_PIXEL, finish
from stavewright.figures.svg.glyphs import glyph_sheet, glyphs_in
from stavewright.figures.svg.titles import described, labelled, titled

__all__ = [
    "UNITS_PER_PIXEL",
    "described",
    "finish",
    "glyph_sheet",
    "glyphs_in",
    "labelled",
    "standalone",
    "titled",
]
