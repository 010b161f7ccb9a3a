"""What a theme's `figure.html` is given: a figure that stands in an article's body.

It is apart from the values of whole pages because whoever makes articles sets figures alone.
"""

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True, slots=True)
class DrawingView:
    """One picture, ready to stand in the page."""

    markup: Markup
    width: float
    """CSS pixels."""
    height: float


@dataclass(frozen=True, slots=True)
class FigureViewView:
    """One view of a figure (staff, keyboard, grid …)."""

    view: str
    name: str
    """In words, for readers: "staff", "keyboard", "rhythm grid" …"""
    wide: DrawingView
    narrow: DrawingView | None
    line: str
    """The spoken text in one sentence."""
    bars: tuple[str, ...]
    """The spoken text bar by bar."""
    notes: tuple[str, ...] = ()
    """The spoken text note by note; with the first view of a figure alone."""


@dataclass(frozen=True, slots=True)
class SoundView:
    """What the player needs to make a figure heard."""

    data: Markup
    """JSON for a `script` of type `application/json`; `figures.sound.encode` says what it holds."""
    voices: tuple[tuple[int, str], ...]
    """Number and name of each voice that sounds; the player knows it by its number."""
    has_beats: bool
    """Whether there is a metre to count."""


@dataclass(frozen=True, slots=True)
class DownloadView:
    """A file of a figure that the reader may keep."""

    name: str
    """What it is: `MIDI`, `MEI`."""
    about: str
    """What it is good for."""
    href: str
    filename: str
    """What to call it on the reader's disk."""


@dataclass(frozen=True, slots=True)
class FindingView:
    """A finding shown in a figure's place, when a build keeps going in spite of errors."""

    rule: str
    severity: str
    place: str
    """`file:line:column`."""
    message: str
    suggestion: str | None
    reason: str | None


@dataclass(frozen=True, slots=True)
class FigureView:
    """One music block of a page."""

    number: int
    """From 1 in its page."""
    anchor: str
    """The id to give the figure, such as `figure-2`."""
    title: str | None
    caption: str | None
    views: tuple[FigureViewView, ...]
    notes: tuple[tuple[str, str], ...]
    """What the author accepted in this block: (rule id, reason), shown as an author's note."""
    credits: tuple[str, ...]
    sources: tuple[str, ...]
    rights: str | None
    findings: tuple[FindingView, ...]
    """Empty in a build without errors. With errors there are no views and these stand instead."""
    text: str
    """The block as the author wrote it."""
    sound: SoundView | None = None
    """None where nothing sounds."""
    downloads: tuple[DownloadView, ...] = ()
