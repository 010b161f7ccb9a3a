"""Worker processes that engrave, so that one bad block cannot take the rest with it.

Each worker is a process of its own (`worker`), started only when there is work for it and reached
through its standard input and output. That needs nothing of the program that runs: no guard
around its main module, no fork of a process with threads. A worker that dies or takes too long is
replaced, and the job it had becomes an `EngravingFault`.
"""

import contextlib
import json
import os
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from queue import Empty, SimpleQueue
from threading import Lock, Timer
from time import monotonic
from types import TracebackType
from typing import IO, Any, Self

from stavewright.figures.drawer import by_music
from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob
from stavewright.figures.worker import read_message, write_message

DEFAULT_SECONDS = 20.0
"""Far more than any figure needs: a page of four voices takes a tenth of a second."""

_BOOT = (
    "import sys, json; sys.path[:] = json.loads(sys.argv[1]); "
    "from stavewright.figures.worker import main; main()"
)
_TRIES = 2
"""A worker may die of something that is not its job's fault; a job that kills two is at fault."""

_Results = dict[EngravingJob, Drawing | EngravingFault]


class _Worker:
    """One process, and the talk with it."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None

    def ask(self, request: dict[str, Any], seconds: float) -> dict[str, Any] | None:
        """Give the answer, or None where the process died or was stopped after `seconds`."""
        process = self._started()
        late = Timer(seconds, process.kill)
        late.daemon = True
        late.start()
        try:
            write_message(_pipe(process.stdin), request)
            answer = read_message(_pipe(process.stdout))
        except (BrokenPipeError, ConnectionError):
            answer = None
        finally:
            late.cancel()
        if answer is None:
            self.stop()
        return answer

    @property
    def is_running(self) -> bool:
        """Whether it has a process."""
        return self._process is not None

    def stop(self) -> None:
        """End the process, at once; the next request starts another."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            with contextlib.suppress(BrokenPipeError):
                _pipe(pipe).close()

    def _started(self) -> subprocess.Popen[bytes]:
        if self._process is None:
            self._process = subprocess.Popen(
                [sys.executable, "-c", _BOOT, json.dumps(sys.path)],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
            )
        return self._process


def _pipe(pipe: IO[bytes] | None) -> IO[bytes]:
    if pipe is None:  # pragma: no cover - Popen makes every pipe it is asked for
        raise RuntimeError("a worker process has no pipe")
    return pipe


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
            worker = _Worker()
            with self._lock:
                self._all.append(worker)
            return worker


def _draw(worker: _Worker, mei: str, widths: tuple[int | None, ...], seconds: float) -> _Results:
    """Ask one worker, and once more if its process died under it."""
    jobs = [EngravingJob(mei, width) for width in widths]
    for _ in range(_TRIES):
        asked = monotonic()
        answer = worker.ask({"mei": mei, "widths": widths, "seconds": seconds}, seconds)
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
    if "fault" in answer:
        return dict.fromkeys(jobs, EngravingFault(answer["fault"]))
    drawings = (Drawing(*drawing) for drawing in answer["drawings"])
    return dict(zip(jobs, drawings, strict=True))
