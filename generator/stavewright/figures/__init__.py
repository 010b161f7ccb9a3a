"""What the reader sees and hears of a Score.

`draw` gives a `Figure` for each view that a block's `show:` names. The staff is engraved by worker
processes (`engraver.Pool`) through MEI; the other views we draw ourselves. Every figure carries a
spoken text made from the Score.

The names below are loaded when they are first asked for: a build in which nothing changed draws
nothing.
"""

from typing import TYPE_CHECKING

from stavewright.lazy import names_of

if TYPE_CHECKING:
    from stavewright.figures.drawing import draw, shown_views, staff_jobs
    from stavewright.figures.figure import (
        Drawing,
        Engraver,
        EngravingFault,
        EngravingJob,
        Figure,
        SpokenText,
    )
    from stavewright.figures.mei.ids import event_id, head_id
    from stavewright.figures.signs import FIGURE_CSS, TTF, WOFF2
    from stavewright.figures.svg.alone import standalone
    from stavewright.figures.svg.glyphs import glyph_sheet, glyphs_in
    from stavewright.figures.svg.titles import described

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

__getattr__ = names_of(
    __name__,
    {
        "drawing": ("draw", "shown_views", "staff_jobs"),
        "figure": ("Drawing", "Engraver", "EngravingFault", "EngravingJob", "Figure", "SpokenText"),
        "mei.ids": ("event_id", "head_id"),
        "signs": ("FIGURE_CSS", "TTF", "WOFF2"),
        "svg.alone": ("standalone",),
        "svg.glyphs": ("glyph_sheet", "glyphs_in"),
        "svg.titles": ("described",),
    },
)
