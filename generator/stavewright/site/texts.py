"""What text each article's file holds, told without reading it where the disk vouches for it.

The digest of a text is noted under all that the disk says about its file, the time of its last
change of any kind included, which no program can set (see `write/files.py`). While the disk says
the same, the file holds the same.

A disk's clock goes in steps, so that a file which is written twice within one step may look the
same after the second time. Nothing is noted of a file that had changed too shortly before the disk
was asked, nor where the time of a change is not told, as on Windows; such a file is read again.
"""

import os
import sys
import time
from functools import cached_property
from typing import Final

from stavewright.notation.finding import Finding
from stavewright.site.content import ContentFile, Listing, read_listed, shown_name
from stavewright.site.making.made import Order
from stavewright.site.store import Store, digest
from stavewright.site.store.digest import SIZE

_KIND: Final = "texts"
_PAIR: Final = 2 * SIZE
_ROUND: Final = 10_000_000
"""A time that is a whole number of these (nanoseconds) may come from a disk that rounds."""
_QUIET: Final = 100_000_000
"""How long a file must have been left alone: some of the longest steps of a system's clock."""
_LONG_QUIET: Final = 3_000_000_000
"""The same where times are rounded; the coarsest are whole two seconds."""


class Texts:
    """The texts of the articles in a listing, by their digests."""

    def __init__(self, listing: Listing, store: Store) -> None:
        self._store = store
        self._name = digest(shown_name(listing.folder))
        # Taken before anything is asked, so that every file seems to have rested less than it has.
        self._now = time.time_ns()
        self._found: dict[str, bytes | Finding] = {}
        self._marks: dict[bytes, bytes] = {}
        """What the disk says of each file, where that is good to tell it by, and its text."""

    def of(self, file: ContentFile) -> bytes | Finding:
        """The digest of a file's text, as `Order.text`; the finding where it cannot be read."""
        found = self._found.get(file.path)
        if found is None:
            found = self._found[file.path] = self._look(file)
        return found

    def note(self) -> None:
        """Keep what was found out, unless it was known."""
        if any(mark not in self._known for mark in self._marks):
            pairs = (mark + text for mark, text in self._marks.items())
            self._store.put(_KIND, self._name, b"".join(pairs))

    def _look(self, file: ContentFile) -> bytes | Finding:
        mark = self._mark(file)  # before reading: what happens in between must not be missed
        text = None if mark is None else self._known.get(mark)
        if text is None:
            source = read_listed(file)
            if isinstance(source, Finding):
                return source
            text = Order(source.path, source.file, source.data).text
        if mark is not None:
            self._marks[mark] = text
        return text

    def _mark(self, file: ContentFile) -> bytes | None:
        """What the disk says of a file, if that changes whenever the file does."""
        if sys.platform == "win32":
            return None
        try:
            at = os.stat(f"{file.folder}/{file.path}")
        except OSError:
            return None
        changed = at.st_ctime_ns
        if self._now - changed < (_QUIET if changed % _ROUND else _LONG_QUIET):
            return None
        told = (at.st_dev, at.st_ino, at.st_size, at.st_mtime_ns, changed)
        return digest(file.path, file.shown, repr(told))

    @cached_property
    def _known(self) -> dict[bytes, bytes]:
        data = self._store.get(_KIND, self._name) or b""
        starts = range(0, len(data) - _PAIR + 1, _PAIR)
        return {data[at : at + SIZE]: data[at + SIZE : at + _PAIR] for at in starts}
