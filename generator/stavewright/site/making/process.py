"""One maker's process, seen from the site: it is given a task and answers, or is lost over it."""

from collections.abc import Mapping
from dataclasses import dataclass
from threading import Lock
from time import monotonic
from typing import Any

from stavewright.figures.child import Child
from stavewright.site.errors import ThemeError
from stavewright.site.making.parcel import Parcel
from stavewright.site.making.task import Task, Terms
from stavewright.site.store import Store

DRAWING = "drawing"
"""The kind under which drawings are kept."""


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

    def __init__(self, child: Child) -> None:
        """The process of a maker, which may run already if nothing was said to it."""
        self._child = child
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
                        self._child.send(found)
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
        return self._child.is_running

    def expire(self) -> None:
        """Stop a process that has drawn for too long; called from a thread that watches."""
        with self._lock:
            if self._deadline is not None and monotonic() > self._deadline and self.is_running:
                self._late = True
                self._child.kill()

    @property
    def has_ended(self) -> bool:
        """Whether it will never be started again."""
        return self._ended

    def end(self) -> None:
        """Stop it, now and for good."""
        with self._lock:
            self._ended = True
        self.stop()

    def stop(self) -> None:
        """End the process, at once; the next task starts another."""
        self._child.stop()

    def start(self) -> None:
        """Start the process, if need be ahead of its first task."""
        with self._lock:
            if self._ended:
                raise EndedError("nobody waits for this maker any more")
            if self._child.start():
                self._terms = None

    def _talk(self, task: Task, terms: Terms) -> Any:
        self.start()
        if self._terms != terms:
            self._terms = terms
            self._child.send(terms)
        self._child.send(task)
        while (message := self._child.receive()) is not None:
            yield message

    def _wait_until(self, deadline: float | None) -> None:
        with self._lock:
            self._deadline = deadline


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
