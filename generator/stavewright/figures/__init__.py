"""What the reader sees and hears of a Score.

`draw` gives a `Figure` for each view that a block's `show:` names. The staff is engraved by worker
processes (`engraver.Pool`) through MEI; the other views we draw ourselves. Every figure carries a
spoken text made from the Score.
"""

from stavewright.figures.drawing import draw, shown_views, staff_jobs
from stavewright.figures.figure import (
    Drawing,
    Engraver,
    EngravingFault,
    EngravingJob,
    Figure,
    SpokenText,
)
from stavewright.figures.mei import event_id, head_id
from stavewright.figures.signs import FIGURE_CSS, TTF, WOFF2
from stavewright.figures.svg import described, glyph_sheet, glyphs_in, standalone

__all__ = [
    "FIGURE_CSS",
    "TTF",
    "WOFF2",
    "Drawing",
    "Engraver",
    "EngravingFault",
    "EngravingJob",
    "Figure",
    "SpokenText",
    "described",
    "draw",
    "event_id",
    "glyph_sheet",
    "glyphs_in",
    "head_id",
    "shown_views",
    "staff_jobs",
    "standalone",
]
