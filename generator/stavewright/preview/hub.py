"""The newest snapshot, and whoever waits for the next one.

Builds happen in a thread; browsers wait in the server's event loop. The hub is where the two meet.
"""

import asyncio
from collections.abc import AsyncIterator
from dataclasses import dataclass, field
from enum import Enum

from stavewright.preview.snapshot import Snapshot

MOST_LISTENERS = 64
"""A page in view holds one stream. Beyond this many the oldest is asked to come again later."""
_KEEP_ALIVE_SECONDS = 15.0


class Word(Enum):
    """What a listener hears besides snapshots."""

    QUIET = "quiet"
    """Nothing has happened for a while."""
    FULL = "full"
    """Others have come since and there is no room; come again later. The last word."""


@dataclass(slots=True, eq=False)
class _Listener:
    loop: asyncio.AbstractEventLoop
    wake: asyncio.Event = field(default_factory=asyncio.Event)
    is_displaced: bool = False


class Hub:
    """Holds one snapshot and tells its listeners of the next."""

    def __init__(self, snapshot: Snapshot, most: int = MOST_LISTENERS) -> None:
        self._snapshot = snapshot
        self._most = most
        self._listeners: dict[_Listener, None] = {}
        self._is_closed = False

    @property
    def snapshot(self) -> Snapshot:
        """The newest one."""
        return self._snapshot

    def publish(self, snapshot: Snapshot) -> None:
        """Make a snapshot the newest one; may be called from any thread."""
        self._snapshot = snapshot
        self._wake_all()

    def close(self) -> None:
        """End every stream, so that the server can stop; may be called from a signal handler."""
        self._is_closed = True
        self._wake_all()

    async def listen(self) -> AsyncIterator[Snapshot | Word]:
        """The newest snapshot, then the newest again each time that there is another."""
        me = _Listener(asyncio.get_running_loop())
        self._admit(me)
        try:
            told = self._snapshot
            yield told
            while not self._is_closed:
                try:
                    await asyncio.wait_for(me.wake.wait(), _KEEP_ALIVE_SECONDS)
                except TimeoutError:
                    yield Word.QUIET
                    continue
                me.wake.clear()
                if me.is_displaced:
                    yield Word.FULL
                    return
                # Whoever is slow hears of the last of several only.
                if self._snapshot is not told:
                    told = self._snapshot
                    yield told
        finally:
            self._listeners.pop(me, None)

    def _admit(self, newcomer: _Listener) -> None:
        while len(self._listeners) >= self._most:
            oldest = next(iter(self._listeners))
            del self._listeners[oldest]
            oldest.is_displaced = True
            oldest.wake.set()
        self._listeners[newcomer] = None

    def _wake_all(self) -> None:
        # A copy: a browser may leave while we tell. No lock, since a signal handler comes here too.
        for listener in list(self._listeners):
            if not listener.loop.is_closed():
                listener.loop.call_soon_threadsafe(listener.wake.set)
