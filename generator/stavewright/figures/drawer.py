"""One engraver and the layouts it is asked for: music in one row if that fits, else in even rows.

All widths of one figure are asked for together. The engraver then reads the music once and lays it
out in one row once, which tells how wide it is; every further layout starts from what it has read.

The engraver holds Python's global lock while it works, may crash the whole process and may never
come back: use a `Drawer` only in a process that may be lost, and in one thread. `engraver.Pool`
keeps such processes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from stavewright.figures.complaints import Complaints, first_error
from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob
from stavewright.figures.svg.finish import UNITS_PER_PIXEL, finish

_OPTIONS = {
    "header": "none",
    "footer": "none",
    "adjustPageHeight": True,
    "pageMarginLeft": 10,
    "pageMarginRight": 10,
    "pageMarginTop": 30,
    "pageMarginBottom": 10,
    "pageHeight": 60000,
    "scale": 40,
    "spacingSystem": 6,
    "spacingStaff": 11,
    "spacingBraceGroup": 10,
    "spacingBracketGroup": 11,
    "svgFormatRaw": True,
    "svgRemoveXlink": True,
    "smuflTextFont": "none",
    "xmlIdChecksum": True,
    "mmOutput": True,
}
"""Ids by checksum are the only ones that are the same in every process; raw output is the only kind
whose superscripts every renderer puts where they belong. Where sizes are to be in millimetres, the
engraver leaves out its style sheet, which it would put together rule by rule for every page: that
takes twice as long as the rest of the writing. What the sheet says then stands on each element."""

_PER_PIXEL = 100 / 40
"""The engraver's page units in a CSS pixel, at the scale above."""

_BOX: Final = 'viewBox="0 0 '

_EXCESSES = (1.25, 1.5, 2, 3)
_SLACKS = (1.06, 1.12, 1.2, 1.3, 1.4)
"""How much wider than an even share a row may be: each begins with its clef and signature."""
_EVENED_FROM = 500
"""Pixels; a phone's rows are few bars wide, and best as wide as the phone."""


class Refused(Exception):  # noqa: N818 - what the engraver did, not an error of ours
    """The engraver did not take the MEI; says so in a sentence for the author."""


class Drawer:
    """One engraver, loaded when it is first needed; an `Engraver` for its own process."""

    def __init__(self) -> None:
        self._toolkit: _Toolkit | None = None

    @property
    def renders(self) -> int:
        """How many layouts the engraver has drawn so far."""
        return self._toolkit.renders if self._toolkit else 0

    def draw(self, mei: str, widths: Sequence[int | None]) -> list[Drawing]:
        """Draw one MEI text at each width, in CSS pixels; None for one row as wide as it gets.

        Raises `Refused`.
        """
        pages = self.pages(mei, widths)
        finished = {page: finish(page) for page in dict.fromkeys(pages)}
        return [finished[page] for page in pages]

    def pages(self, mei: str, widths: Sequence[int | None]) -> list[str]:
        """Give the engraver's own SVG for each width, as `draw` takes them. Raises `Refused`."""
        if self._toolkit is None:
            self._toolkit = _Toolkit()
        music = _Music(self._toolkit, mei, min((w for w in widths if w is not None), default=None))
        return [_fitted(music, width).markup for width in widths]

    def engrave(self, jobs: Sequence[EngravingJob]) -> list[Drawing | EngravingFault]:
        """One result a job, in the order asked; what one figure needs is drawn together."""
        results: dict[EngravingJob, Drawing | EngravingFault] = {}
        for mei, widths in by_music(jobs).items():
            asked = [EngravingJob(mei, width) for width in widths]
            try:
                results.update(zip(asked, self.draw(mei, widths), strict=True))
            except Refused as refusal:
                results.update(dict.fromkeys(asked, EngravingFault(str(refusal))))
        return [results[job] for job in jobs]


def by_music(jobs: Sequence[EngravingJob]) -> dict[str, tuple[int | None, ...]]:
    """The widths that each MEI text is wanted at, both in the order first asked."""
    wanted: dict[str, dict[int | None, None]] = {}
    for job in jobs:
        wanted.setdefault(job.mei, {})[job.width] = None
    return {mei: tuple(widths) for mei, widths in wanted.items()}


@dataclass(frozen=True, slots=True)
class _Page:
    """What the engraver gave for one layout."""

    markup: str
    squeezed: bool
    """It had to press notes together to keep to the width."""

    @property
    def width(self) -> int:
        """In whole CSS pixels, rounded up."""
        start = self.markup.index(_BOX) + len(_BOX)
        units = int(self.markup[start : self.markup.index(" ", start)])
        return -(-units // UNITS_PER_PIXEL)

    @property
    def rows(self) -> int:
        """How many systems there are."""
        return self.markup.count(' class="system"')


class _Toolkit:
    """The engraver itself."""

    def __init__(self) -> None:
        import verovio  # here, so that a process which is never asked pays nothing

        self._complaints = Complaints()
        self.renders = 0
        with self._complaints.caught():
            self._engraver = verovio.toolkit()
            self._engraver.setOptions(_OPTIONS)

    def page(self, layout: dict[str, Any], mei: str | None = None) -> _Page:
        """Lay out `mei`, or anew what was read before. Raises `Refused`."""
        engraver, complaints = self._engraver, self._complaints
        self.renders += 1
        with complaints.caught():
            engraver.setOptions(layout)
            if mei is None:
                engraver.redoLayout()
            # A refused text leaves the last one in place, which would then be drawn again.
            taken = (mei is None or engraver.loadData(mei)) and engraver.getPageCount() == 1
            markup = engraver.renderToSVG(1) if taken else ""
        said = complaints.read()
        if not taken:
            reason = first_error(said)
            raise Refused(f"the engraver refused this music{reason and f' ({reason})'}")
        return _Page(markup, squeezed="highly compressed" in said)


class _Music:
    """One MEI text in the engraver, and its layouts so far."""

    def __init__(self, toolkit: _Toolkit, mei: str, least: int | None) -> None:
        """Read `mei`; `least` is the smallest width it will be wrapped to. Raises `Refused`."""
        self._toolkit = toolkit
        self._wrapped: dict[int, _Page] = {}
        self._least = least
        # The engraver wraps a text for the first time at the width it had when it read the text,
        # whatever it is told later, and at the right width from then on.
        page_width = {} if least is None else {"pageWidth": round(least * _PER_PIXEL)}
        layout = {"breaks": "none", "adjustPageWidth": True} | page_width
        self.whole = toolkit.page(layout, mei)

    def wrapped(self, width: int) -> _Page:
        """The music in rows of `width` pixels."""
        if not self._wrapped and self._least is not None and width != self._least:
            self._wrap(self._least)
        if width not in self._wrapped:
            self._wrap(width)
        return self._wrapped[width]

    @property
    def pressed_at(self) -> int:
        """The greatest width, in pixels, that proved too small for some bar."""
        return max((width for width, page in self._wrapped.items() if page.squeezed), default=0)

    def _wrap(self, width: int) -> None:
        page_width = round(width * _PER_PIXEL)
        layout = {"breaks": "auto", "adjustPageWidth": False, "pageWidth": page_width}
        self._wrapped[width] = self._toolkit.page(layout)


def _fitted(music: _Music, width: int | None) -> _Page:
    """One row if it is no wider than `width`, else as many as it takes."""
    whole = music.whole
    if width is None or whole.width <= width:
        return whole
    wrapped = music.wrapped(width)
    for excess in _EXCESSES:
        if not wrapped.squeezed:
            break
        # A bar too long for the width: better drawn whole and scaled down than pressed.
        wider = round(width * excess)
        if wider <= music.pressed_at and excess < _EXCESSES[-1]:
            continue  # as it was for a wider drawing
        wrapped = music.wrapped(wider) if wider < whole.width else whole
    return _evened(music, wrapped) if width >= _EVENED_FROM else wrapped


def _evened(music: _Music, wrapped: _Page) -> _Page:
    """As many rows, but alike: a last row of one bar under full rows looks like a mistake."""
    for slack in _SLACKS:
        width = round(music.whole.width / wrapped.rows * slack)
        if not wrapped.width / 2 < width < wrapped.width:
            continue
        even = music.wrapped(width)
        if even.rows == wrapped.rows and not even.squeezed:
            return even
    return wrapped
