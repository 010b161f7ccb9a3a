"""A process of our own that may be lost: a module's `main`, reached through its standard streams.

That needs nothing of the program that runs: no guard around its main module, no fork of a process
with threads. The process is started when it is first needed, and again after it was lost.
"""

import contextlib
import json
import subprocess
import sys
from threading import Lock
from typing import IO, Any, Final

from stavewright.figures.pipes import receive, send

_BOOT: Final = (
    "import gc, json, sys; sys.path[:] = json.loads(sys.argv[1]); "
    "gc.disable(); from {} import main; gc.enable(); main()"
)
"""Modules are not garbage: looking for some among them takes a fifteenth of the start."""


class Child:
    """One process; all but the talk with it may be done from any thread."""

    def __init__(self, module: str) -> None:
        """A process that runs `main` of a module."""
        self._command = [sys.executable, "-c", _BOOT.format(module), json.dumps(sys.path)]
        self._process: subprocess.Popen[bytes] | None = None
        self._lock = Lock()

    @property
    def is_running(self) -> bool:
        """Whether there is a process."""
        return self._process is not None

    def start(self) -> bool:
        """Start it unless it runs; say whether that was needed."""
        with self._lock:
            if self._process is not None:
                return False
            self._process = subprocess.Popen(
                self._command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
            )
            return True

    def send(self, message: Any) -> None:
        """Tell it something. Raises `BrokenPipeError` where it has died."""
        process = self._process
        send(_pipe(process.stdin if process else None), message)

    def receive(self) -> Any | None:
        """What it says next; None where it has died."""
        process = self._process
        return receive(_pipe(process.stdout if process else None))

    def kill(self) -> None:
        """End it while somebody waits for its answer, who gets None."""
        with self._lock:
            if self._process is not None:
                self._process.kill()

    def stop(self) -> None:
        """End it, at once, and close what led to it."""
        with self._lock:
            process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            with contextlib.suppress(BrokenPipeError):
                _pipe(pipe).close()


def _pipe(pipe: IO[bytes] | None) -> IO[bytes]:
    if pipe is None:
        raise BrokenPipeError("the process has been stopped")
    return pipe
