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
from typing import IO, Any

from stavewright.figures.svg import finish

_OPTIONS = {
    "header": "none",
    "footer": "none",
    "adjustPageHeight": True,
    "pageMarginLeft": 10,
    "pageMarginRight": 10,
    "pageMarginTop": 10,
    "pageMarginBottom": 10,
    "pageHeight": 60000,
    "scale": 40,
    "spacingStaff": 8,
    "spacingBraceGroup": 8,
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


class _Drawer:
    """One engraver, made when it is first needed."""

    def __init__(self) -> None:
        self._toolkit: Any = None

    def draw(self, mei: str, width: int | None) -> dict[str, Any]:
        """Draw one MEI text: an answer as the module says."""
        with _complaints() as caught:
            markup = self._engrave(mei, width)
            caught.seek(0)
            said = caught.read().decode("utf-8", "replace")
        if markup is None:
            return {"fault": f"the engraver refused this music{_errors_of(said)}"}
        drawing = finish(markup)
        return {"markup": drawing.markup, "width": drawing.width, "height": drawing.height}

    def _engrave(self, mei: str, width: int | None) -> str | None:
        """Give the engraver's SVG, wrapped only where one row would be too wide."""
        whole = self._one_page(mei, {"breaks": "none", "adjustPageWidth": True})
        if whole is None or width is None or _pixel_width(whole) <= width:
            return whole
        page_width = round(width * _PER_PIXEL)
        return self._one_page(
            mei, {"breaks": "auto", "adjustPageWidth": False, "pageWidth": page_width}
        )

    def _one_page(self, mei: str, layout: dict[str, Any]) -> str | None:
        if self._toolkit is None:
            import verovio  # here, so that a process which is never asked pays nothing

            self._toolkit = verovio.toolkit()
        self._toolkit.setOptions(_OPTIONS | layout)
        # A refused text leaves the last one in place, which would then be drawn again.
        if not self._toolkit.loadData(mei) or self._toolkit.getPageCount() != 1:
            return None
        return str(self._toolkit.renderToSVG(1))


def _errors_of(said: str) -> str:
    """The engraver's own words, where it had any: its first error, on one line."""
    errors = [line.split("]", 1)[-1].strip() for line in said.splitlines() if "[Error]" in line]
    return f" ({errors[0][:200]})" if errors else ""


def _pixel_width(markup: str) -> float:
    """The width that the engraver wrote on its root."""
    start = markup.index('width="') + len('width="')
    return float(markup[start : markup.index('px"', start)])


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
