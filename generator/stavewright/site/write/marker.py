"""The file that says which folder is ours, and what in it.

It is also what builds lock: whoever works on a folder holds its marker.
"""

import os
import sys
import time
from array import array
from bisect import bisect_left
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import IO, Final

from stavewright.site.errors import OutputError
from stavewright.site.sign import SIGN

if sys.platform != "win32":
    import fcntl

MARKER: Final = SIGN
FIRST_LINE: Final = (
    "Written by Stavewright, which replaces this folder whole. It wrote these files:"
)
_STEP: Final = 0.05
_PATIENCE: Final = 600.0
"""Seconds to wait for another build of the same site; it may be a long one."""


class Names:
    """Many paths, as places in the list they came from, in 12 bytes each.

    A site may have a hundred thousand files; as a set of strings they would take more memory than
    building any one of them. Their 64-bit hashes do: two that agree by chance are not to be
    expected in the life of the universe, and could at worst keep a file from being refused.
    """

    def __init__(self, paths: Iterable[str]) -> None:
        hashes = array("q", map(hash, paths))
        self._places = array("I", sorted(range(len(hashes)), key=hashes.__getitem__))
        self._hashes = array("q", map(hashes.__getitem__, self._places))

    def __len__(self) -> int:
        return len(self._hashes)

    def find(self, path: str) -> int | None:
        """The place of a path in the list, from 0; None if it is not in it."""
        wanted = hash(path)
        at = bisect_left(self._hashes, wanted)
        found = at < len(self._hashes) and self._hashes[at] == wanted
        return self._places[at] if found else None


def is_ours(folder: Path) -> bool:
    """Whether a folder carries our marker."""
    return _first_line(folder) == FIRST_LINE


def listed(folder: Path) -> Iterator[str]:
    """What the marker of a folder of ours says we wrote, sorted."""
    with (folder / MARKER).open(encoding="utf-8", errors="replace", newline="\n") as marker:
        next(marker, None)
        for line in marker:
            yield line.rstrip("\n")


def identity(folder: Path) -> bytes:
    """Tells the marker in a folder from any other that is put there; empty without one."""
    try:
        it = os.lstat(folder / MARKER)
    except OSError:
        return b""
    return b"%d %d %d %d" % (it.st_ino, it.st_size, it.st_mtime_ns, it.st_ctime_ns)


def lock(marker: IO[bytes]) -> None:
    """Lock an open marker until it is closed.

    Raises `BlockingIOError` where somebody else has it, `OSError` on a disk without locks.
    """
    if sys.platform != "win32":
        fcntl.flock(marker, fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def held(folder: Path) -> Iterator[None]:
    """Hold the marker of the site that stands in a folder, if one does.

    Waits for another build of the same site to end. Raises `OutputError` where it does not.
    """
    with ExitStack() as stack:
        until = time.monotonic() + _PATIENCE
        while not _hold(folder, stack):
            if time.monotonic() > until:
                raise OutputError(
                    f"another build has been writing {folder} for ten minutes; wait until it ends, "
                    "or stop it and build again"
                )
            time.sleep(_STEP)
        yield


def _hold(folder: Path, stack: ExitStack) -> bool:
    try:
        marker = stack.enter_context((folder / MARKER).open("rb"))
    except OSError:
        return True
    try:
        lock(marker)
    except BlockingIOError:
        marker.close()
        return False
    except OSError:
        # A disk without locks: there the author must not build one site twice at once.
        return True
    # While we waited, the other build may have put a new site, with a new marker, in its place.
    with suppress(OSError):
        if os.path.samestat(os.fstat(marker.fileno()), os.stat(folder / MARKER)):
            return True
    marker.close()
    return False


def _first_line(folder: Path) -> str | None:
    marker = folder / MARKER
    if marker.is_symlink() or not marker.is_file():
        return None
    with marker.open(encoding="utf-8", errors="replace", newline="\n") as lines:
        return next(lines, "").rstrip("\n")
