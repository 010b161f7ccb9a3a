"""From a Score to the figures that its `show:` asks for."""

from dataclasses import replace
from typing import Final

from stavewright.figures import staff
from stavewright.figures.figure import Engraver, EngravingFault, EngravingJob, Figure
from stavewright.figures.spoken import Reading, speak_notes
from stavewright.figures.svg.titles import labelled
from stavewright.figures.views import VIEWS
from stavewright.notation.realise import realise
from stavewright.notation.score import Score

STAFF: Final = "staff"


def shown_views(score: Score) -> tuple[str, ...]:
    """The views to draw, in order: the staff alone where `show:` says nothing."""
    return tuple(view.name for view in score.show) or (STAFF,)


def staff_jobs(score: Score) -> tuple[EngravingJob, ...]:
    """What the engraver will be asked for by `draw`; nothing where no staff is shown or can be.

    A site gathers the jobs of all its blocks and has them engraved in one call; an engraver that
    remembers the results then serves each `draw`.
    """
    if STAFF not in shown_views(score):
        return ()
    sheet = staff.sheet_of(realise(score))
    return () if isinstance(sheet, EngravingFault) else staff.jobs(sheet)


def draw(score: Score, engraver: Engraver) -> tuple[Figure | EngravingFault, ...]:
    """One result for each view that `show:` names, in its order."""
    written = realise(score)
    reading = Reading.of(written)
    first, *rest = (_draw_one(reading, view, engraver) for view in shown_views(score))
    if isinstance(first, Figure):
        spoken = replace(first.spoken, notes=speak_notes(written, reading))
        first = replace(first, spoken=spoken)
    return (first, *rest)


def _draw_one(reading: Reading, view: str, engraver: Engraver) -> Figure | EngravingFault:
    """Draw one view of a score whose notes are written out."""
    score = reading.score
    if view == STAFF:
        sheet = staff.sheet_of(score)
        if isinstance(sheet, EngravingFault):
            return sheet
        jobs = staff.jobs(sheet)
        return staff.figure(sheet, reading, jobs, engraver.engrave(jobs))
    if view not in VIEWS:
        return EngravingFault(f"there is no view called {view}")
    drawn = VIEWS[view]
    wide, narrow = drawn.draw(score)
    spoken = drawn.speak(score)
    small = labelled(narrow, spoken.line) if narrow is not None else None
    return Figure(view, labelled(wide, spoken.line), small, spoken)
