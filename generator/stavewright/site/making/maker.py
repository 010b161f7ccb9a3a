"""The process that makes articles: it keeps one engraver and answers on its standard output.

A `Workshop` starts it, loses it when the engraver crashes, hangs or grows, and starts another. It
is sent `Terms`, and again when they change, and then tasks. Over a task it says `("at", block)`
before it draws a block, so that whoever waits knows what it was at when it is never heard of again;
it may ask for drawings that were kept, `("recall", keys)`, and is answered; and it ends with
`("made", parcel, drawings)`, `("theme", message)` or `("fault", message, notes)`.
"""

import faulthandler
import gc
import os
import signal
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from typing import IO, Any

from stavewright.figures.drawer import Drawer
from stavewright.figures.figure import Drawing, Engraver, EngravingFault, EngravingJob
from stavewright.figures.pipes import receive, send
from stavewright.site.errors import ThemeError
from stavewright.site.making.make import make
from stavewright.site.making.memory import limited
from stavewright.site.making.parcel import DRAWINGS, Parcel, drawing_key
from stavewright.site.making.task import Task, Terms
from stavewright.site.render import Renderer
from stavewright.site.store import StaleError

_GRACE_SECONDS = 10
"""How much longer than its parent's patience a process outlives a parent that is gone."""
_COLLECTED_EVERY = 50
"""Articles."""


class _Maker:
    """One process's side of the talk."""

    def __init__(self, requests: IO[bytes], answers: IO[bytes], engraver: Engraver) -> None:
        self._requests = requests
        self._answers = answers
        self._engraver = engraver
        self._nowhere = open(os.devnull, "w")  # noqa: SIM115 - for as long as the process lives

    def run(self) -> None:
        """Answer until the other side closes."""
        # An article leaves next to no circles behind; looking for them as often as usual takes a
        # tenth of the time that is not the engraver's.
        gc.freeze()
        gc.disable()
        made = 0
        request = receive(self._requests)
        while isinstance(request, Terms):
            renderer = Renderer.of(request.manner.theme)
            terms, request = request, receive(self._requests)
            while isinstance(request, Task):
                self._answer(request, terms, renderer)
                made += 1
                if made % _COLLECTED_EVERY == 0:
                    gc.collect()
                request = receive(self._requests)

    def recall(self, keys: Sequence[bytes]) -> dict[bytes, Drawing]:
        """The drawings among `keys` that were kept."""
        send(self._answers, ("recall", keys))
        found: Mapping[bytes, bytes] = receive(self._requests) or {}
        recalled = {}
        for key, data in found.items():
            with suppress(StaleError):
                recalled[key] = DRAWINGS.decode(data)
        return recalled

    @contextmanager
    def watched(self, terms: Terms) -> Iterator[None]:
        """The engraver at work: not for ever, and not with all the memory there is."""
        # Works even while the engraver hangs with the lock held and the parent is gone.
        patience = terms.seconds + _GRACE_SECONDS
        faulthandler.dump_traceback_later(patience, exit=True, file=self._nowhere)
        try:
            with limited(terms.memory):
                yield
        except MemoryError:
            os._exit(1)  # What has hit the limit cannot be trusted to go on.
        finally:
            faulthandler.cancel_dump_traceback_later()

    def _answer(self, task: Task, terms: Terms, renderer: Renderer) -> None:
        engraver = _Recalling(self._engraver, self, terms)
        message: tuple[Any, ...]
        try:
            made = make(
                task.order,
                terms.manner,
                renderer,
                engraver,
                lambda block: send(self._answers, ("at", block)),
                task.undrawable,
            )
            message = ("made", Parcel.of(made), engraver.new)
        except ThemeError as error:
            message = ("theme", str(error))
        except Exception as error:
            words = f"{type(error).__name__}: {error}"
            message = ("fault", words, list(getattr(error, "__notes__", [])))
        send(self._answers, message)


class _Recalling:
    """An engraver that looks for what was drawn before, and notes what it draws."""

    def __init__(self, engraver: Engraver, maker: _Maker, terms: Terms) -> None:
        self._engraver = engraver
        self._maker = maker
        self._terms = terms
        self._known: dict[bytes, Drawing | EngravingFault] = {}
        self.new: dict[bytes, bytes] = {}
        """What was drawn, as it is kept."""

    def engrave(self, jobs: Sequence[EngravingJob]) -> list[Drawing | EngravingFault]:
        keys = [drawing_key(job, self._terms.manner.program) for job in jobs]
        unknown = [key for key in keys if key not in self._known]
        if unknown and self._terms.recalls:
            self._known.update(self._maker.recall(unknown))
        missing = {it: job for it, job in zip(keys, jobs, strict=True) if it not in self._known}
        if missing:
            with self._maker.watched(self._terms):
                drawn = self._engraver.engrave(list(missing.values()))
            self._known.update(zip(missing, drawn, strict=True))
            pairs = zip(missing, drawn, strict=True)
            self.new |= {it: DRAWINGS.encode(new) for it, new in pairs if isinstance(new, Drawing)}
        return [self._known[key] for key in keys]


def main(engraver: Engraver | None = None) -> None:
    """Make articles until the other side closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides what an interrupt means
    requests, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # nothing that is printed by accident may reach the answers
    with suppress(BrokenPipeError):
        _Maker(requests, answers, engraver or Drawer()).run()
