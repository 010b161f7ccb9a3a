"""The process that draws: it keeps one engraver and answers requests on its standard input.

The engraver holds Python's global lock while it works, may crash the whole process and may never
come back, so it lives here and nowhere else. `engraver.Pool` starts this process, kills it when it
takes too long, and starts another.

A request is `(mei, widths, seconds)`; an answer is a list of drawings, or a sentence that says why
there are none.
"""

import faulthandler
import os
import signal
import sys
from collections.abc import Sequence

from stavewright.figures.drawer import Drawer, Refused
from stavewright.figures.figure import Drawing
from stavewright.figures.pipes import receive, send

_GRACE_SECONDS = 10
"""How much longer than its parent's patience a process outlives a parent that is gone."""


def _answer(drawer: Drawer, mei: str, widths: Sequence[int | None]) -> list[Drawing] | str:
    """Draw what a request wants: an answer as the module says."""
    try:
        return drawer.draw(mei, widths)
    except Refused as refusal:
        return str(refusal)


def main() -> None:
    """Answer requests until the other side closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides what an interrupt means
    requests, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # nothing that is printed by accident may reach the answers
    drawer = Drawer()
    with open(os.devnull, "w") as nowhere:
        while (request := receive(requests)) is not None:
            mei, widths, seconds = request
            # Works even while the engraver hangs with the lock held and the parent is gone.
            patience = seconds + _GRACE_SECONDS
            faulthandler.dump_traceback_later(patience, exit=True, file=nowhere)
            answer = _answer(drawer, mei, widths)
            faulthandler.cancel_dump_traceback_later()
            send(answers, answer)
