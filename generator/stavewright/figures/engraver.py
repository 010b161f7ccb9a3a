"""Worker processes that engrave, so that one bad block cannot take the rest with it.

Each worker is a process of its own (`worker`), started only when there is work for it. One that
dies or takes too long is replaced, and the job it had becomes an `EngravingFault`.
"""

import contextlib
import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from queue import Empty, SimpleQueue
from threading import Lock, Timer
from time import monotonic
from types import TracebackType
from typing import Self

from stavewright.figures.child import Child
from stavewright.figures.drawer import by_music
from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob

DEFAULT_SECONDS = 20.0
"""Far more than any figure needs: a page of four voices takes a tenth of a second."""

_MODULE = "stavewright.figures.worker"
_TRIES = 2
"""A worker may die of something that is not its job's fault; a job that kills two is at fault."""

_Results = dict[EngravingJob, Drawing | EngravingFault]


class _Worker(Child):
    """One process, and the talk with it."""

    def ask(
        self, mei: str, widths: Sequence[int | None], seconds: float
    ) -> list[Drawing] | str | None:
        """Give the answer, or None where the process died or was stopped after `seconds`."""
        self.start()
        late = Timer(seconds, self.kill)
        late.daemon = True
        late.start()
        try:
            self.send((mei, widths, seconds))
            answer: list[Drawing] | str | None = self.receive()
        except (BrokenPipeError, ConnectionError):
            answer = None
        finally:
            late.cancel()
        if answer is None:
            self.stop()
        return answer


class Pool:
    """An `Engraver` of up to `workers` processes. Use it as a context manager, or `close` it."""

    def __init__(self, workers: int | None = None, seconds: float = DEFAULT_SECONDS) -> None:
        """Take at most `workers` processes (one a processor if None) and `seconds` a job."""
        self._limit = max(1, workers if workers is not None else os.cpu_count() or 1)
        self._seconds = seconds
        self._idle: SimpleQueue[_Worker] = SimpleQueue()
        self._all: list[_Worker] = []
        self._lock = Lock()

    def engrave(self, jobs: Sequence[EngravingJob]) -> list[Drawing | EngravingFault]:
        """Give one result a job, in the order asked; a figure is drawn once at all its widths."""
        figures = by_music(jobs)
        if not figures:
            return []
        threads = ThreadPoolExecutor(min(self._limit, len(figures)))
        try:
            drawn = threads.map(self._engrave_one, figures, figures.values())
            results = {job: result for figure in drawn for job, result in figure.items()}
        except BaseException:  # an interrupt: let no thread wait for a drawing nobody wants
            threads.shutdown(wait=False, cancel_futures=True)
            self.close()
            raise
        threads.shutdown()
        return [results[job] for job in jobs]

    @property
    def processes(self) -> int:
        """How many processes are running."""
        with self._lock:
            return sum(worker.is_running for worker in self._all)

    def close(self) -> None:
        """End all processes."""
        with self._lock:
            workers, self._all = self._all, []
        for worker in workers:
            worker.stop()
        with contextlib.suppress(Empty):
            while True:
                self._idle.get_nowait()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _engrave_one(self, mei: str, widths: tuple[int | None, ...]) -> _Results:
        worker = self._borrow()
        try:
            return _draw(worker, mei, widths, self._seconds)
        finally:
            self._idle.put(worker)

    def _borrow(self) -> _Worker:
        try:
            return self._idle.get_nowait()
        except Empty:
            worker = _Worker(_MODULE)
            with self._lock:
                self._all.append(worker)
            return worker


def _draw(worker: _Worker, mei: str, widths: tuple[int | None, ...], seconds: float) -> _Results:
    """Ask one worker, and once more if its process died under it."""
    jobs = [EngravingJob(mei, width) for width in widths]
    for _ in range(_TRIES):
        asked = monotonic()
        answer = worker.ask(mei, widths, seconds)
        if answer is not None:
            break
        if monotonic() - asked >= seconds:
            late = EngravingFault(
                f"the engraver took longer than {seconds:g} seconds over this music, "
                "and was stopped; a shorter block may help"
            )
            return dict.fromkeys(jobs, late)
    else:
        broken = EngravingFault(
            "the engraver broke down over this music; the rest of the site is not affected"
        )
        return dict.fromkeys(jobs, broken)
    if isinstance(answer, str):
        return dict.fromkeys(jobs, EngravingFault(answer))
    return dict(zip(jobs, answer, strict=True))
