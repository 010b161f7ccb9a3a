"""The process that draws: it keeps one engraver and answers requests on its standard input.

The engraver holds Python's global lock while it works, may crash the whole process and may never
come back, so it lives here and nowhere else. `engraver.Pool` starts this process, kills it when it
takes too long, and starts another.

A message is four bytes, the length, and JSON in UTF-8. A request is `{"mei", "widths", "seconds"}`;
an answer is `{"drawings"}`, each with its markup, width and height, or `{"fault"}`.
"""

import faulthandler
import json
import os
import signal
import struct
import sys
from typing import IO, Any

from stavewright.figures.drawer import Drawer, Refused

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


def _answer(drawer: Drawer, request: dict[str, Any]) -> dict[str, Any]:
    """Draw what a request wants: an answer as the module says."""
    try:
        drawings = drawer.draw(request["mei"], request["widths"])
    except Refused as refusal:
        return {"fault": str(refusal)}
    return {"drawings": [(it.markup, it.width, it.height) for it in drawings]}


def main() -> None:
    """Answer requests until the other side closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides what an interrupt means
    requests, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # nothing that is printed by accident may reach the answers
    drawer = Drawer()
    with open(os.devnull, "w") as nowhere:
        while (request := read_message(requests)) is not None:
            # Works even while the engraver hangs with the lock held and the parent is gone.
            patience = request["seconds"] + _GRACE_SECONDS
            faulthandler.dump_traceback_later(patience, exit=True, file=nowhere)
            answer = _answer(drawer, request)
            faulthandler.cancel_dump_traceback_later()
            write_message(answers, answer)
