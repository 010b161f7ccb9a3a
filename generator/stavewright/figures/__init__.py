"""What the reader sees and hears of a Score.

`draw` gives a `Figure` for each view that a block's `show:` names. The staff is engraved by worker
processes (`engraver.Pool`) through MEI; the other views we draw ourselves. Every figure carries a
spoken text made from the Score.

The names below are loaded when they are first asked for: a build in which nothing changed draws
nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Final

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

_HOMES: Final = {
    "drawing": ("draw", "shown_views", "staff_jobs"),
    "figure": ("Drawing", "Engraver", "EngravingFault", "EngravingJob", "Figure", "SpokenText"),
    "mei.ids": ("event_id", "head_id"),
    "signs": ("FIGURE_CSS", "TTF", "WOFF2"),
    "svg.alone": ("standalone",),
    "svg.glyphs": ("glyph_sheet", "glyphs_in"),
    "svg.titles": ("described",),
}
_HOME_OF: Final = {name: home for home, names in _HOMES.items() for name in names}


def __getattr__(name: str) -> object:
    if name not in _HOME_OF:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOME_OF[name]}"), name)
