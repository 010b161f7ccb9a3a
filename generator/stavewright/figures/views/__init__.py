"""The views of a figure that we draw ourselves; the staff alone comes from the engraver."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.notation.score import Score


@dataclass(frozen=True, slots=True)
class DrawnView:
    """How one view is drawn and told; both take a Score whose scale or chords are written out."""

    draw: Callable[[Score], tuple[Drawing, Drawing | None]]
    """A wide drawing, and a narrow one for a phone where the wide does not fit it."""
    speak: Callable[[Score], SpokenText]


def _later(name: str) -> DrawnView:
    """The view that a module of this package draws, loaded when it is first asked for.

    Most articles show staves and nothing else, and who waits for one should not wait for the rest.
    """

    def module() -> Any:
        return import_module(f"{__name__}.{name}")

    def draw(score: Score) -> tuple[Drawing, Drawing | None]:
        drawn: tuple[Drawing, Drawing | None] = module().draw(score)
        return drawn

    def speak(score: Score) -> SpokenText:
        spoken: SpokenText = module().speak(score)
        return spoken

    return DrawnView(draw, speak)


VIEWS: dict[str, DrawnView] = {
    name: _later(name)
    for name in ("keyboard", "grid", "circle", "clock", "fretboard", "names", "ruler", "table")
}
"""By the word that `show:` uses, which is the name of the module too."""
