"""Values of the store that are there when they are asked for, as long as that goes in order.

When all pages are written, each wants its body and its files, and unpacking those takes as long as
filling in its template. So a thread of its own reads on from the place where the pages are; it
needs the interpreter for next to nothing. Where pages are asked for here and there, as after one
word was changed, it reads nothing.
"""

from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Final, Generic, TypeVar

from stavewright.site.store import Codec, Store

T = TypeVar("T")

_IN_A_ROW: Final = 3
"""How many have to be asked for in order before any is read ahead."""
_AT_ONCE: Final = 8
"""How many are read together; twice as many may be waiting, a few megabytes."""


class ReadAhead(Generic[T]):
    """The values of one kind in a store."""

    def __init__(self, store: Store, kind: str, codec: Codec[T]) -> None:
        self._store = store
        self._kind = kind
        self._codec = codec
        self._order: Sequence[bytes] = ()
        self._next = 0
        """Whose turn it is in that order."""
        self._in_a_row = 0
        self._until = 0
        """The first that was not read ahead."""
        self._ahead: dict[bytes, Future[dict[bytes, T]]] = {}
        self._thread: ThreadPoolExecutor | None = None

    def expect(self, order: Sequence[bytes]) -> None:
        """Say in which order keys will be asked for, if they are; none has to be."""
        self._order = order
        self._next = self._in_a_row = self._until = 0
        self._ahead.clear()

    def get(self, key: bytes) -> T | None:
        """The value of a key; None where it is not there, or not whole."""
        self._follow(key)
        ahead = self._ahead.pop(key, None)
        found = self._read((key,)) if ahead is None else ahead.result()
        return found.get(key)

    def _follow(self, key: bytes) -> None:
        """Note that a key is asked for, and read on if this goes in order."""
        if self._next < len(self._order) and self._order[self._next] == key:
            self._in_a_row += 1
        else:
            self._in_a_row = 0
            self._ahead.clear()
            try:
                self._next = self._order.index(key, self._next)
            except ValueError:
                return
        self._next += 1
        if self._in_a_row >= _IN_A_ROW and self._until < self._next + _AT_ONCE:
            self._read_on(max(self._until, self._next))

    def _read_on(self, start: int) -> None:
        keys = self._order[start : start + _AT_ONCE]
        if not keys:
            return
        if self._thread is None:
            self._thread = ThreadPoolExecutor(1, thread_name_prefix="read-ahead")
        reading = self._thread.submit(self._read, keys)
        self._ahead.update(dict.fromkeys(keys, reading))
        self._until = start + len(keys)

    def _read(self, keys: Sequence[bytes]) -> dict[bytes, T]:
        found = {}
        for key, data in self._store.get_many(self._kind, keys).items():
            value = self._codec.decode_if_whole(data)
            if value is not None:
                found[key] = value
        return found
