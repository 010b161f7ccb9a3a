"""The newest snapshot, and whoever waits for the next one.

Builds happen in a thread; browsers wait in the server's event loop. The hub is where the two meet.
"""

import asyncio
from collections.abc import AsyncIterator

from stavewright.preview.snapshot import Snapshot

_KEEP_ALIVE_SECONDS = 15.0


class Hub:
    """Holds one snapshot and tells its listeners of the next."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        self._listeners: dict[asyncio.Queue[int | None], asyncio.AbstractEventLoop] = {}
        self._closed = False

    @property
    def snapshot(self) -> Snapshot:
        """The newest one."""
        return self._snapshot

    def publish(self, snapshot: Snapshot) -> None:
        """Make a snapshot the newest one; may be called from any thread."""
        self._snapshot = snapshot
        self._tell(snapshot.number)

    def close(self) -> None:
        """End every stream, so that the server can stop; may be called from a signal handler."""
        self._closed = True
        self._tell(None)

    async def numbers(self) -> AsyncIterator[int | None]:
        """The newest snapshot's number, then each later one; None when all has been quiet."""
        queue: asyncio.Queue[int | None] = asyncio.Queue()
        self._listeners[queue] = asyncio.get_running_loop()
        try:
            yield self._snapshot.number
            while not self._closed:
                try:
                    number = await asyncio.wait_for(queue.get(), _KEEP_ALIVE_SECONDS)
                except TimeoutError:
                    yield None
                    continue
                if number is not None:
                    yield number
        finally:
            self._listeners.pop(queue, None)

    def _tell(self, number: int | None) -> None:
        # A copy: a browser may leave while we tell. No lock, since a signal handler comes here too.
        for queue, loop in list(self._listeners.items()):
            if not loop.is_closed():
                loop.call_soon_threadsafe(queue.put_nowait, number)
