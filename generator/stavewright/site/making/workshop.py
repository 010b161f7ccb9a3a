"""Processes that make articles, so that all cores work and one bad block takes nothing with it.

Each maker is a process of its own (`maker`), started only when there is work for it and reached
through its standard input and output. That needs nothing of the program that runs: no guard around
its main module, no fork of a process with threads. A maker that dies, hangs or grows over a block
is replaced; the article is tried once more, and then made without that block, which becomes a
finding.
"""

import os
from collections import Counter
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from contextlib import suppress
from dataclasses import dataclass, replace
from queue import Empty, SimpleQueue
from threading import Event, Lock, Thread
from types import TracebackType
from typing import Final, Self

from stavewright.figures.child import Child
from stavewright.site.making.ahead import MAKER
from stavewright.site.making.body import Body
from stavewright.site.making.essence import Essence
from stavewright.site.making.made import Made, Order
from stavewright.site.making.manner import Manner
from stavewright.site.making.parcel import Parcel
from stavewright.site.making.process import DRAWING, Done, Lost, Process
from stavewright.site.making.task import Task, Terms
from stavewright.site.store import Store

_TRIES: Final = 2
"""A maker may die of something that is not its block's fault; a block that kills two is."""
_AHEAD: Final = 2
"""Orders on their way to each maker, so that none waits for the next."""
_LOOK_SECONDS: Final = 0.1
"""How often the clock is looked at while makers work."""


@dataclass(frozen=True, slots=True)
class Limits:
    """What a maker may take for one block."""

    seconds: float = 20.0
    """Far more than any figure needs: a page of four voices takes a tenth of a second."""
    memory: int = 1 << 30
    """Bytes beyond what the process has; music that fills pages takes a tenth. Held to on Linux."""


class Workshop:
    """`Makers` in up to `workers` processes. Use it as a context manager, or `close` it."""

    def __init__(
        self,
        workers: int | None = None,
        limits: Limits | None = None,
        maker: str = MAKER,
        ahead: Child | None = None,
    ) -> None:
        """Take at most `workers` processes, one a processor if None; `maker` is what they run.

        `ahead` is a process of that kind which was started already.
        """
        self._maker = maker
        self._limit = max(1, workers if workers is not None else os.cpu_count() or 1)
        self._limits = limits or Limits()
        self._idle: SimpleQueue[Process] = SimpleQueue()
        self._all: list[Process] = []
        self._lock = Lock()
        self._closing = Event()
        self._watch: Thread | None = None
        if ahead is not None:
            self._idle.put(self._added(ahead))

    def make(
        self, manner: Manner, orders: Iterable[Order], drawings: Store | None = None
    ) -> Iterator[tuple[Order, Parcel]]:
        """See `Makers`."""
        terms = Terms(manner, self._limits.seconds, self._limits.memory, drawings is not None)
        threads = ThreadPoolExecutor(self._limit, thread_name_prefix="workshop")
        running: dict[Future[Parcel], Order] = {}
        try:
            for order in orders:
                running[threads.submit(self._make, order, terms, drawings)] = order
                if len(running) >= self._limit * _AHEAD:
                    yield from _finished(running)
            while running:
                yield from _finished(running)
        except BaseException:  # an interrupt: let no thread wait for an article nobody wants
            threads.shutdown(wait=False, cancel_futures=True)
            self.close()
            threads.shutdown()
            raise
        threads.shutdown()

    def warm(self) -> None:
        """See `Makers`: one process is started, if none is."""
        process = self._borrow()
        process.start()
        self._idle.put(process)

    def rest(self) -> None:
        """See `Makers`: all processes are ended; new orders start others."""
        self.close()

    @property
    def processes(self) -> int:
        """How many are running."""
        with self._lock:
            return sum(process.is_running for process in self._all)

    def close(self) -> None:
        """End all processes."""
        self._closing.set()
        with self._lock:
            processes, self._all, watch, self._watch = self._all, [], self._watch, None
        for process in processes:
            process.end()
        if watch is not None:
            watch.join()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _make(self, order: Order, terms: Terms, drawings: Store | None) -> Parcel:
        process = self._borrow()
        try:
            done = _patiently(process, order, terms, drawings)
        finally:
            self._idle.put(process)
        if drawings is not None and done.drawings:
            drawings.put_many(DRAWING, done.drawings)
        return done.parcel

    def _borrow(self) -> Process:
        with suppress(Empty):
            while (process := self._idle.get_nowait()).has_ended:
                pass
            return process
        return self._added(Child(self._maker))

    def _added(self, child: Child) -> Process:
        process = Process(child)
        with self._lock:
            self._all.append(process)
            if self._watch is None:
                self._closing.clear()
                self._watch = Thread(target=self._look, name="workshop-clock", daemon=True)
                self._watch.start()
        return process

    def _look(self) -> None:
        while not self._closing.wait(_LOOK_SECONDS):
            with self._lock:
                processes = tuple(self._all)
            for process in processes:
                process.expire()


def _finished(running: dict[Future[Parcel], Order]) -> Iterator[tuple[Order, Parcel]]:
    done, _ = wait(running, return_when=FIRST_COMPLETED)
    for future in done:
        yield running.pop(future), future.result()


def _patiently(process: Process, order: Order, terms: Terms, drawings: Store | None) -> Done:
    """Have an article made in spite of what may happen to the process."""
    task = Task(order)
    losses: Counter[int | None] = Counter()
    while True:
        outcome = process.work(task, terms, drawings)
        if isinstance(outcome, Done):
            return outcome
        losses[outcome.block] += 1
        if losses[outcome.block] < _TRIES and not outcome.late:
            continue
        if outcome.block is None:
            return Done(_lost(order), {})
        words = _words(outcome, terms.seconds)
        task = replace(task, undrawable={**task.undrawable, outcome.block: words})


def _words(lost: Lost, seconds: float) -> str:
    if lost.late:
        return (
            f"the engraver took longer than {seconds:g} seconds over this music, "
            "and was stopped; a shorter block may help"
        )
    return "the engraver broke down over this music; the rest of the site is not affected"


def _lost(order: Order) -> Parcel:
    """What stands for an article that takes its maker with it before anything is drawn."""
    message = "This article could not be made: the process that was reading it broke down"
    essence = Essence.lost(order.path, order.file, message)
    return Parcel.of(Made(essence, Body(("",), ()), (), lasting=False))
