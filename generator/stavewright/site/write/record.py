"""What was recorded of a site when it was written: the key of each file, and how the disk saw it.

The rows stand in the order of the marker's listing and hold no paths, so that the record of a
hundred thousand files is a few megabytes and read at once. It is void unless it was made for the
very listing that the folder has now.
"""

import os
from array import array
from collections.abc import Iterator
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

GONE, ALONE, LINKED = range(3)
"""The state of a file: not what was written; just that; that, and it has another name besides."""


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

    def state(self, place: int, status: os.stat_result) -> int:
        """Whether the disk says of a file what it said when that was written, and of how many."""
        if (
            status.st_mtime_ns == self.times[place]
            and status.st_ino & _INODES == self.inodes[place]
            and status.st_size == self.sizes[place]
        ):
            return ALONE if status.st_nlink == 1 else LINKED
        return GONE

    def is_inode(self, place: int, inode: int) -> bool:
        """Whether a file has this number, as a folder tells it."""
        return inode & _INODES == self.inodes[place]

    @classmethod
    def chosen(cls, old: Self, new: Self, places: "array[int]") -> Self:
        """The rows at these places; those of `new` follow on those of `old`."""
        keys = old.keys + new.keys
        columns = ((old.sizes, new.sizes), (old.times, new.times), (old.inodes, new.inodes))
        sizes, times, inodes = (
            array(first.typecode, map((first + second).__getitem__, places))
            for first, second in columns
        )
        chosen = bytearray().join(keys[at * SIZE : (at + 1) * SIZE] for at in places)
        return cls(chosen, sizes, times, inodes)

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
    files: bytes
    """The state of each file."""

    def place_if_same(self, path: str, key: bytes) -> int | None:
        """The place of a file that stands there with this key, untouched since we wrote it."""
        place = self.names.find(path)
        if place is None or self.files[place] == GONE:
            return None
        return place if self.rows.keys[place * SIZE : (place + 1) * SIZE] == key else None

    def paths(self) -> Iterator[tuple[int, str]]:
        """The place and path of each file, sorted by path."""
        return enumerate(islice(listed(self.folder), len(self.rows)))


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


def load(folder: Path, store: Store) -> Rows | None:
    """The rows of the site in a folder, if they were recorded for the very listing it has."""
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
