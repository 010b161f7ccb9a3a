"""The drawings among which a picture chooses: one view of a figure, laid out in several ways."""

import re
from dataclasses import dataclass
from typing import Final

from stavewright.figures import staff
from stavewright.figures.drawing import STAFF
from stavewright.figures.figure import Drawing, Engraver, EngravingFault, EngravingJob
from stavewright.figures.spoken import speak_staff
from stavewright.figures.stills.table import table_drawing
from stavewright.figures.svg.titles import titled
from stavewright.figures.views import VIEWS
from stavewright.notation.realise import realise
from stavewright.notation.score import Score

_SHORT: Final = (160, 190, 225, 265, 310, 365, 430)
"""Pixels; so narrow, staves are named in short."""
_LONG: Final = (500, 580, 670, 780, 900, 1050, 1250, 1500, 1800, 2200, None)
"""None is all the music in one row."""
_CELLS: Final = (280, 220, 170, 130, 100)
"""Pixels to which the cells of a table are broken."""
_LIGHT: Final = re.compile(r'\bdata-(id|key|class)="([^"]*)"')


@dataclass(frozen=True, slots=True)
class Candidates:
    """One view of a figure."""

    view: str
    drawings: tuple[Drawing, ...]
    """All of the same music; at least one."""
    line: str
    """The spoken text in one sentence."""


def candidates(score: Score, view: str, engraver: Engraver) -> Candidates | EngravingFault:
    """Every layout of a view of a Score that a frame may choose from."""
    written = realise(score)
    if view == STAFF:
        return _staff(written, engraver)
    if view not in VIEWS:
        return EngravingFault(f"there is no view called {view}")
    drawn = VIEWS[view]
    wide, narrow = drawn.draw(written)
    spoken = drawn.speak(written)
    both = [each for each in (wide, narrow) if each is not None]
    layouts = [layout for each in both for layout in _layouts(each)]
    return Candidates(view, tuple(titled(each, spoken) for each in layouts), spoken.line)


def lights_in(drawing: Drawing) -> frozenset[str]:
    """Everything in a drawing that can light up, in the words of `Step.lit`."""
    return frozenset(
        f"{name} {each}"
        for name, value in _LIGHT.findall(drawing.markup)
        for each in value.split(" ")
    )


def _staff(score: Score, engraver: Engraver) -> Candidates | EngravingFault:
    sheet = staff.sheet_of(score)
    if isinstance(sheet, EngravingFault):
        return sheet
    long, short = (job.mei for job in staff.jobs(sheet))
    wanted = [EngravingJob(long, width) for width in _LONG]
    wanted += [EngravingJob(short, width) for width in _SHORT]
    results = engraver.engrave(wanted)
    drawings = [result for result in results if isinstance(result, Drawing)]
    if not drawings:
        return next(result for result in results if isinstance(result, EngravingFault))
    spoken = speak_staff(sheet.score)
    distinct = dict.fromkeys(drawings)
    return Candidates(STAFF, tuple(titled(each, spoken) for each in distinct), spoken.line)


def as_picture(drawing: Drawing) -> Drawing:
    """The drawing; a table drawn."""
    return drawing if drawing.markup.startswith("<svg") else table_drawing(drawing.markup)


def _layouts(drawing: Drawing) -> list[Drawing]:
    """A drawing as it is; a table with its cells broken more and more often."""
    if drawing.markup.startswith("<svg"):
        return [drawing]
    broken = [table_drawing(drawing.markup, widest) for widest in _CELLS]
    return [as_picture(drawing), *broken]
