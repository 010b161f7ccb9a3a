"""The process that draws: it keeps one engraver and answers requests on its standard input.

The engraver holds Python's global lock while it works, may crash the whole process and may never
come back, so it lives here and nowhere else. `engraver.Pool` starts this process, kills it when it
takes too long, and starts another.

A message is four bytes, the length, and JSON in UTF-8. A request is `{"mei", "width", "seconds"}`;
an answer is `{"markup", "width", "height"}` or `{"fault"}`.
"""

import contextlib
import faulthandler
import json
import os
import signal
import struct
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO, Any

from stavewright.figures.svg import finish

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
    "svgHtml5": True,
    "svgFormatRaw": True,
    "svgRemoveXlink": True,
    "smuflTextFont": "none",
    "xmlIdChecksum": True,
}
"""Ids by checksum are the only ones that are the same in every process; raw output is the only kind
whose superscripts every renderer puts where they belong."""

_PER_PIXEL = 100 / 40
"""The engraver's page units in a CSS pixel, at the scale above."""

_EXCESSES = (1.25, 1.5, 2, 3)
_SLACKS = (1.06, 1.12, 1.2, 1.3, 1.4)
"""How much wider than an even share a row may be: each begins with its clef and signature."""
_EVENED_FROM = 500
"""Pixels; a phone's rows are few bars wide, and best as wide as the phone."""

_HEADER = struct.Struct(">I")
_GRACE_SECONDS = 10
"""How much longer than its parent's patience a process outlives a parent that is gone."""


def read_message(stream: IO[bytes]) -> Any | None:
    """Read one message; None where the other side has closed."""
    header = stream.read(_HEADER.size)
    if len(header) < _HEADER.size:
        return None
    (length,) = _HEADER.unpack(header)
    body = stream.read(length)
    return json.loads(body) if len(body) == length else None


def write_message(stream: IO[bytes], message: Any) -> None:
    """Write one message and push it out."""
    body = json.dumps(message, ensure_ascii=False).encode()
    stream.write(_HEADER.pack(len(body)) + body)
    stream.flush()


@contextlib.contextmanager
def _complaints() -> Iterator[IO[bytes]]:
    """Catch what the engraver writes to file descriptor 2, which it does below Python's streams."""
    with tempfile.TemporaryFile() as caught:
        kept = os.dup(2)
        os.dup2(caught.fileno(), 2)
        try:
            yield caught
        finally:
            os.dup2(kept, 2)
            os.close(kept)


@dataclass(frozen=True, slots=True)
class _Page:
    """What the engraver gave for one layout."""

    markup: str
    squeezed: bool
    """It had to press notes together to keep to the width."""

    @property
    def width(self) -> float:
        """In CSS pixels, as the engraver wrote it on its root."""
        start = self.markup.index('width="') + len('width="')
        return float(self.markup[start : self.markup.index('px"', start)])

    @property
    def rows(self) -> int:
        """How many systems there are."""
        return self.markup.count(' class="system"')


class _Refused(Exception):  # noqa: N818 - what the engraver did, not an error of ours
    """The engraver did not take the MEI; says in its own words why, where it had any."""


class _Drawer:
    """One engraver, made when it is first needed."""

    def __init__(self) -> None:
        self._toolkit: Any = None

    def draw(self, mei: str, width: int | None) -> dict[str, Any]:
        """Draw one MEI text: an answer as the module says."""
        try:
            drawing = finish(self._fitted(mei, width).markup)
        except _Refused as refusal:
            return {"fault": f"the engraver refused this music{refusal}"}
        return {"markup": drawing.markup, "width": drawing.width, "height": drawing.height}

    def _fitted(self, mei: str, width: int | None) -> _Page:
        """One row if it is no wider than `width`, else as many as it takes."""
        whole = self._page(mei, {"breaks": "none", "adjustPageWidth": True})
        if width is None or whole.width <= width:
            return whole
        wrapped = self._wrapped(mei, width)
        for excess in _EXCESSES:
            if not wrapped.squeezed:
                break
            # A bar too long for the width: better drawn whole and scaled down than pressed.
            wrapped = self._wrapped(mei, round(width * excess))
        return self._evened(mei, whole, wrapped) if width >= _EVENED_FROM else wrapped

    def _evened(self, mei: str, whole: _Page, wrapped: _Page) -> _Page:
        """As many rows, but alike: a last row of one bar under full rows looks like a mistake."""
        for slack in _SLACKS:
            width = round(whole.width / wrapped.rows * slack)
            if not wrapped.width / 2 < width < wrapped.width:
                continue
            even = self._wrapped(mei, width)
            if even.rows == wrapped.rows and not even.squeezed:
                return even
        return wrapped

    def _wrapped(self, mei: str, width: int) -> _Page:
        page_width = round(width * _PER_PIXEL)
        return self._page(
            mei, {"breaks": "auto", "adjustPageWidth": False, "pageWidth": page_width}
        )

    def _page(self, mei: str, layout: dict[str, Any]) -> _Page:
        with _complaints() as caught:
            if self._toolkit is None:
                import verovio  # here, so that a process which is never asked pays nothing

                self._toolkit = verovio.toolkit()
            self._toolkit.setOptions(_OPTIONS | layout)
            # A refused text leaves the last one in place, which would then be drawn again.
            taken = self._toolkit.loadData(mei) and self._toolkit.getPageCount() == 1
            markup = str(self._toolkit.renderToSVG(1)) if taken else ""
            caught.seek(0)
            said = caught.read().decode("utf-8", "replace")
        if not taken:
            raise _Refused(_errors_of(said))
        return _Page(markup, squeezed="highly compressed" in said)


def _errors_of(said: str) -> str:
    """The engraver's own words, where it had any: its first error, on one line."""
    errors = [line.split("]", 1)[-1].strip() for line in said.splitlines() if "[Error]" in line]
    return f" ({errors[0][:200]})" if errors else ""


def main() -> None:
    """Answer requests until the other side closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides what an interrupt means
    requests, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # nothing that is printed by accident may reach the answers
    drawer = _Drawer()
    with open(os.devnull, "w") as nowhere:
        while (request := read_message(requests)) is not None:
            # Works even while the engraver hangs with the lock held and the parent is gone.
            patience = request["seconds"] + _GRACE_SECONDS
            faulthandler.dump_traceback_later(patience, exit=True, file=nowhere)
            answer = drawer.draw(request["mei"], request["width"])
            faulthandler.cancel_dump_traceback_later()
            write_message(answers, answer)
