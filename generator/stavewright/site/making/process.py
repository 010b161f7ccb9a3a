"""One maker's process, seen from the site: it is given a task and answers, or is lost over it."""

import contextlib
import json
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from threading import Lock
from time import monotonic
from typing import IO, Any

from stavewright.site.errors import ThemeError
from stavewright.site.making.parcel import Parcel
from stavewright.site.making.pipes import receive, send
from stavewright.site.making.task import Task, Terms
from stavewright.site.store import Store

DRAWING = "drawing"
"""The kind under which drawings are kept."""

_BOOT = "import sys, json; sys.path[:] = json.loads(sys.argv[1]); from {} import main; main()"


class MakerError(RuntimeError):
    """A fault of ours that came up in a maker."""


class EndedError(RuntimeError):
    """There was a task for a process that has been ended for good."""


@dataclass(frozen=True, slots=True)
class Done:
    """An article was made."""

    parcel: Parcel
    drawings: Mapping[bytes, bytes]
    """What was drawn for it, by the key it is kept under."""


@dataclass(frozen=True, slots=True)
class Lost:
    """The process died or was stopped."""

    block: int | None
    """The block it was drawing, by its index in the article; None if it was not drawing."""
    late: bool
    """Whether it was stopped because it took too long."""


class Process:
    """A process, started when it is first needed and again after it was lost."""

    def __init__(self, module: str) -> None:
        """A process that runs `main` of a module."""
        self._command = [sys.executable, "-c", _BOOT.format(module), json.dumps(sys.path)]
        self._process: subprocess.Popen[bytes] | None = None
        self._terms: Terms | None = None
        self._lock = Lock()
        self._deadline: float | None = None
        self._late = False
        self._ended = False

    def work(self, task: Task, terms: Terms, drawings: Store | None) -> Done | Lost:
        """Have an article made.

        Raises `ThemeError` and `MakerError`, after which the process lives on, and `EndedError`.
        """
        self._late = False
        block: int | None = None
        try:
            for message in self._talk(task, terms):
                match message:
                    case ("at", block):
                        self._wait_until(None if block is None else monotonic() + terms.seconds)
                    case ("recall", keys):
                        found = drawings.get_many(DRAWING, keys) if drawings else {}
                        send(_pipe(self._started().stdin), found)
                    case _:
                        return _answer(message)
        except (BrokenPipeError, ConnectionError):
            pass  # It died while we were talking to it.
        finally:
            self._wait_until(None)
        self.stop()
        return Lost(block, self._late)

    @property
    def is_running(self) -> bool:
        """Whether there is a process."""
        return self._process is not None

    def expire(self) -> None:
        """Stop a process that has drawn for too long; called from a thread that watches."""
        with self._lock:
            if self._deadline is not None and monotonic() > self._deadline and self._process:
                self._late = True
                self._process.kill()

    @property
    def has_ended(self) -> bool:
        """Whether it will never be started again."""
        return self._ended

    def end(self) -> None:
        """Stop it, now and for good."""
        self._ended = True
        self.stop()

    def stop(self) -> None:
        """End the process, at once; the next task starts another."""
        with self._lock:
            process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            with contextlib.suppress(BrokenPipeError):
                _pipe(pipe).close()

    def start(self) -> None:
        """Start the process ahead of its first task."""
        self._started()

    def _talk(self, task: Task, terms: Terms) -> Any:
        process = self._started()
        if self._terms != terms:
            self._terms = terms
            send(_pipe(process.stdin), terms)
        send(_pipe(process.stdin), task)
        while (message := receive(_pipe(process.stdout))) is not None:
            yield message

    def _wait_until(self, deadline: float | None) -> None:
        with self._lock:
            self._deadline = deadline

    def _started(self) -> subprocess.Popen[bytes]:
        with self._lock:
            if self._ended:
                raise EndedError("nobody waits for this maker any more")
            if self._process is None:
                self._terms = None
                self._process = subprocess.Popen(
                    self._command,
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL,
                )
            return self._process


def _answer(message: tuple[Any, ...]) -> Done:
    match message:
        case ("made", parcel, drawings):
            return Done(parcel, drawings)
        case ("theme", words):
            raise ThemeError(words)
        case ("fault", words, notes):
            error = MakerError(words)
            for note in notes:
                error.add_note(note)
            raise error
    raise MakerError(f"a maker said {message[:1]}")


def _pipe(pipe: IO[bytes] | None) -> IO[bytes]:
    if pipe is None:  # pragma: no cover - Popen makes every pipe it is asked for
        raise RuntimeError("a process has no pipe")
    return pipe
