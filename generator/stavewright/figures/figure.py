"""What a figure is once it is drawn, and how the engraver is asked for one."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True, slots=True)
class SpokenText:
    """A figure in words, made from the Score, that a blind musician can follow."""

    line: str
    """One sentence: what the figure is."""
    bars: tuple[str, ...]
    """One sentence or more a bar: "Bar 1: right hand, C sharp 5 quarter …"."""
    notes: tuple[str, ...] = ()
    """One sentence a moment, voice by voice: "Bar 1 beat 2: right hand, D 5 quarter; held on: …".
    Only with the first view of a block, since they are of the Score and not of the drawing."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """One picture of a figure, at one width."""

    markup: str
    """An `<svg>` element (or an HTML table for the views `names` and `table`) ready to stand in a
    page: it uses `currentColor`, has no script, no style attribute and no id that could clash."""
    width: float
    """CSS pixels, the natural width."""
    height: float


@dataclass(frozen=True, slots=True)
class Figure:
    """One view of one music block."""

    view: str
    """`staff keyboard grid circle clock fretboard names ruler table`."""
    wide: Drawing
    narrow: Drawing | None
    """For readers on a phone; None where `wide` fits 320 pixels or reflows by itself."""
    spoken: SpokenText


@dataclass(frozen=True, slots=True)
class EngravingJob:
    """What the engraver is asked for: one MEI text at one width."""

    mei: str
    """A whole MEI 5.1 document."""
    width: int | None
    """CSS pixels: music wider than this is wrapped to it; None for one row as wide as it gets."""


@dataclass(frozen=True, slots=True)
class EngravingFault:
    """Why the engraver gave no picture: it died, took too long, or refused the MEI."""

    message: str


class Engraver(Protocol):
    """Whatever turns MEI into drawings; the pool of worker processes, or a double in tests."""

    def engrave(self, jobs: Sequence[EngravingJob]) -> list[Drawing | EngravingFault]:
        """One result a job, in the order asked, whatever happens to the process that draws it."""
        ...
