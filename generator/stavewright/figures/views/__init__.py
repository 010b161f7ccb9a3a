"""The views of a figure that we draw ourselves; the staff alone comes from the engraver."""

from collections.abc import Callable
from dataclasses import dataclass

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.views import circle, clock, fretboard, grid, keyboard, names, ruler, table
from stavewright.notation.score import Score


@dataclass(frozen=True, slots=True)
class DrawnView:
    """How one view is drawn and told; both take a Score whose scale or chords are written out."""

    draw: Callable[[Score], tuple[Drawing, Drawing | None]]
    """A wide drawing, and a narrow one for a phone where the wide does not fit it."""
    speak: Callable[[Score], SpokenText]


VIEWS: dict[str, DrawnView] = {
    "keyboard": DrawnView(keyboard.draw, keyboard.speak),
    "grid": DrawnView(grid.draw, grid.speak),
    "circle": DrawnView(circle.draw, circle.speak),
    "clock": DrawnView(clock.draw, clock.speak),
    "fretboard": DrawnView(fretboard.draw, fretboard.speak),
    "names": DrawnView(names.draw, names.speak),
    "ruler": DrawnView(ruler.draw, ruler.speak),
    "table": DrawnView(table.draw, table.speak),
}
"""By the word that `show:` uses."""
