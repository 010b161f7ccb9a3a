"""The store: what earlier builds made, or nothing, and never a reason for a build to fail."""

from collections.abc import Iterable, Mapping
from pathlib import Path
from threading import RLock
from types import TracebackType
from typing import Final, Self

from stavewright.site.store.access import Access
from stavewright.site.store.database import Database, Found
from stavewright.site.store.seal import name_of, seal, unseal

_KEPT_RUNS: Final = 1000
"""How many openings of the store an entry outlives without being used: some months of work."""
_NOTED_RUNS: Final = 50
"""A use is noted only if the last one noted is this many runs ago, so that a build in which
nothing has changed writes next to nothing."""
_MOST: Final = 2 << 30
"""Bytes that a file may hold."""
_MOST_IN_MEMORY: Final = 256 << 20
_BATCH: Final = 8 << 20
"""Bytes that are gathered before they are written in one transaction."""


class Store:
    """Values by kind and key. No method raises for anything that happens to the file."""

    def __init__(self, path: Path | None) -> None:
        self._most = _MOST if path is not None else _MOST_IN_MEMORY
        self._lock = RLock()
        self._pending: dict[bytes, bytes] = {}
        self._pending_bytes = 0
        self._used: set[bytes] = set()
        self._unweighed = 0
        self._wrote = False
        self._verified = False
        self._access = Access(path)

    @classmethod
    def open(cls, path: Path | None) -> Self:
        """Open the store in a file, which is made if need be; None keeps everything in memory."""
        return cls(path)

    @property
    def notices(self) -> tuple[str, ...]:
        """What to tell the author: nothing or one sentence. Final after `close`."""
        notice = self._access.notice
        return () if notice is None else (notice,)

    def get(self, kind: str, key: bytes) -> bytes | None:
        """The value of a key, or None where it is not known, or not whole."""
        return self.get_many(kind, (key,)).get(key)

    def get_many(self, kind: str, keys: Iterable[bytes]) -> dict[bytes, bytes]:
        """The values of those keys that are known."""
        keys_of = {name_of(kind, key): key for key in keys}
        with self._lock:
            sealed: dict[bytes, object] = {
                name: self._pending[name] for name in keys_of if name in self._pending
            }
            asked = [name for name in keys_of if name not in sealed]
            sealed.update(self._find(asked) if asked else {})
        values = {name: unseal(name, data) for name, data in sealed.items()}
        if None in values.values():
            self._verify()
        return {keys_of[name]: value for name, value in values.items() if value is not None}

    def put(self, kind: str, key: bytes, value: bytes) -> None:
        """Keep a value: it can be had from here at once, and from the file before long."""
        self.put_many(kind, {key: value})

    def put_many(self, kind: str, values: Mapping[bytes, bytes]) -> None:
        """Keep several values."""
        if not self._accepts:
            return
        sealed = {}
        for key, value in values.items():
            name = name_of(kind, key)
            sealed[name] = seal(name, value)
        with self._lock:
            self._pending.update(sealed)
            self._pending_bytes += sum(map(len, sealed.values()))
            if self._pending_bytes >= _BATCH:
                self.flush()

    @property
    def notes_uses(self) -> bool:
        """Whether this run notes what is still of use; then nothing should be passed over."""
        with self._lock:
            run = self._access.attempt(lambda database: database.run)
        return run is not None and run % _NOTED_RUNS == 0

    def touch(self, kind: str, keys: Iterable[bytes]) -> None:
        """Say that values are still of use though nobody reads them in this run."""
        if self.notes_uses:
            with self._lock:
                self._used.update(name_of(kind, key) for key in keys)

    def flush(self) -> None:
        """Write what is held back."""
        with self._lock:
            pending, used = self._pending, self._used
            if (pending or used) and self._accepts:
                wrote = self._access.attempt(lambda database: database.keep(pending, used))
                self._wrote |= bool(wrote)
            self._unweighed += self._pending_bytes
            self._pending, self._pending_bytes, self._used = {}, 0, set()
            if self._unweighed > self._most // 4:
                self._forget()

    def close(self) -> None:
        """Write what is held back, forget what was not used for long, let go of the file."""
        with self._lock:
            self.flush()
            if self._wrote:
                self._forget()
            self._access.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @property
    def _accepts(self) -> bool:
        return self._access.is_open and not self._access.full

    def _find(self, names: list[bytes]) -> dict[bytes, object]:
        """The sealed values of names, as the file has them; their use is noted."""

        def find(database: Database) -> tuple[int, dict[bytes, Found]]:
            return database.run, database.find(names)

        run, found = self._access.attempt(find) or (0, {})
        self._used.update(name for name, entry in found.items() if entry.run <= run - _NOTED_RUNS)
        return {name: entry.value for name, entry in found.items()}

    def _verify(self) -> None:
        """Look once, after a seal did not fit, whether more than that value is damaged.

        The file is made anew if so. Else whoever asked puts the value again, and all is well.
        """
        with self._lock:
            if not self._verified:
                self._verified = True
                self._access.attempt(lambda database: database.verify())

    def _forget(self) -> None:
        self._unweighed = 0
        if self._accepts:
            self._access.attempt(
                lambda database: database.forget(database.run - _KEPT_RUNS, self._most)
            )
