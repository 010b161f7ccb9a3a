"""The view `staff`: notes on staves, drawn by the engraver."""

from collections.abc import Sequence

from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob, Figure
from stavewright.figures.mei import document, fault_in
from stavewright.figures.spoken import speak_staff
from stavewright.figures.svg import titled
from stavewright.notation.score import Score

WIDE = 760
"""Pixels of a column of text on a desktop screen: a wider staff is wrapped."""
NARROW = 340
"""Pixels of a phone held upright, less its margins."""


def jobs(score: Score) -> tuple[EngravingJob, ...] | EngravingFault:
    """What the engraver is to draw: the wide staff, then the narrow one."""
    fault = fault_in(score)
    if fault is not None:
        return fault
    wide = EngravingJob(document(score), WIDE)
    narrow = EngravingJob(document(score, short_names=True), NARROW)
    return (wide, narrow)


def figure(score: Score, results: Sequence[Drawing | EngravingFault]) -> Figure | EngravingFault:
    """Put a figure together from what the engraver gave for `jobs(score)`, in that order."""
    wide, narrow = results
    if isinstance(wide, EngravingFault):
        return wide
    spoken = speak_staff(score)
    small = None
    # Where only the narrow one failed, the wide one can still be scrolled.
    if wide.width > NARROW and isinstance(narrow, Drawing):
        small = titled(narrow, spoken)
    return Figure("staff", titled(wide, spoken), small, spoken)
