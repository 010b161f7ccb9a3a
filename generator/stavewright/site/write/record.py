"""What was recorded of a site when it was written: the key of each file, and how the disk saw it.

The rows stand in the order of the marker's listing and hold no paths, so that the record of a
hundred thousand files is a few megabytes and read at once. It is void unless it was made for the
very listing that the folder has now.
"""

import os
from array import array
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import Final, NamedTuple, Self

from stavewright.site.store import Codec, StaleError, Store, digest
from stavewright.site.store.digest import SIZE
from stavewright.site.write.marker import MARKER, Names, is_ours, listed

_KIND: Final = "output"
_INODES: Final = (1 << 64) - 1
"""Some systems number files in 128 bits; the low half tells them apart well enough."""


class Row(NamedTuple):
    """One file as it was written."""

    key: bytes
    size: int
    time: int
    """Of its last change, in nanoseconds; only ever asked whether it is the same."""
    inode: int

    @classmethod
    def of(cls, key: bytes, status: os.stat_result) -> Self:
        """The row of a file that has just been written."""
        return cls(key, status.st_size, status.st_mtime_ns, status.st_ino & _INODES)


@dataclass(frozen=True, slots=True)
class _Written:
    """The rows, column by column, as they lie in the store."""

    listing: bytes
    keys: bytes
    sizes: bytes
    times: bytes
    inodes: bytes


_CODEC = Codec(_Written)


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of a site's files, in the order of its listing."""

    keys: bytearray = field(default_factory=bytearray)
    sizes: "array[int]" = field(default_factory=lambda: array("Q"))
    times: "array[int]" = field(default_factory=lambda: array("q"))
    inodes: "array[int]" = field(default_factory=lambda: array("Q"))

    def __len__(self) -> int:
        return len(self.sizes)

    def __getitem__(self, place: int) -> Row:
        key = bytes(self.keys[place * SIZE : (place + 1) * SIZE])
        return Row(key, self.sizes[place], self.times[place], self.inodes[place])

    @property
    def digest(self) -> bytes:
        """A digest of all of them."""
        numbers = (it.tobytes() for it in (self.sizes, self.times, self.inodes))
        return digest(bytes(self.keys), *numbers)

    def fits(self, place: int, status: os.stat_result) -> bool:
        """Whether the disk says of a file what it said when that was written."""
        return (
            status.st_mtime_ns == self.times[place]
            and status.st_ino & _INODES == self.inodes[place]
            and status.st_size == self.sizes[place]
        )

    def append(self, row: Row) -> None:
        """Add the row of the next file."""
        self.keys.extend(row.key)
        self.sizes.append(row.size)
        self.times.append(row.time)
        self.inodes.append(row.inode)


@dataclass(frozen=True, slots=True)
class Earlier:
    """The site that stands in a folder now, as far as it is known exactly; else it is empty."""

    folder: Path
    names: Names
    rows: Rows

    @classmethod
    def of(cls, folder: Path, store: Store | None) -> Self:
        """What the store says of the site in a folder."""
        rows = _load(folder, store) if store is not None else None
        if rows is None:
            return cls(folder, Names(()), Rows())
        return cls(folder, Names(listed(folder)), rows)

    def place_if_same(self, path: str, key: bytes) -> int | None:
        """The place of a file that stands there with this key, untouched since we wrote it."""
        place = self.names.find(path)
        if place is None or self.rows.keys[place * SIZE : (place + 1) * SIZE] != key:
            return None
        try:
            status = os.lstat(f"{self.folder}/{path}")
        except OSError:
            return None
        return place if self.rows.fits(place, status) else None

    def standing(self) -> bytes | None:
        """A digest of all rows, if there are any and every file is as its row says."""
        rows = self.rows
        if not len(rows):
            return None
        for place, path in enumerate(listed(self.folder)):
            try:
                if place >= len(rows) or not rows.fits(place, os.lstat(f"{self.folder}/{path}")):
                    return None
            except OSError:
                return None
        return rows.digest

    def paths(self, marked: bytearray) -> Iterable[tuple[str, Row]]:
        """The path and row of each place that is marked, sorted by path."""
        rows = self.rows
        for place, path in enumerate(islice(listed(self.folder), len(rows))):
            if marked[place]:
                yield path, rows[place]


def save(folder: Path, rows: Rows, store: Store) -> None:
    """Record the site that has just been put in place."""
    written = _Written(
        _listing(folder),
        bytes(rows.keys),
        rows.sizes.tobytes(),
        rows.times.tobytes(),
        rows.inodes.tobytes(),
    )
    store.put(_KIND, _key(folder), _CODEC.encode(written))


def _load(folder: Path, store: Store) -> Rows | None:
    data = store.get(_KIND, _key(folder)) if is_ours(folder) else None
    if data is None:
        return None
    try:
        written = _CODEC.decode(data)
        rows = Rows(bytearray(written.keys))
        rows.sizes.frombytes(written.sizes)
        rows.times.frombytes(written.times)
        rows.inodes.frombytes(written.inodes)
    except (StaleError, ValueError):
        return None
    whole = len(rows.keys) == SIZE * len(rows) and len(rows.times) == len(rows.inodes) == len(rows)
    return rows if whole and written.listing == _listing(folder) else None


def _listing(folder: Path) -> bytes:
    """A digest of the marker, which lists the files."""
    return digest((folder / MARKER).read_bytes())


def _key(folder: Path) -> bytes:
    return digest(os.fspath(folder))
