"""The files of a site, as values: what they hold, or how it is made when it is needed."""

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stavewright.site.store import digest
from stavewright.site.store.digest import SIZE


@dataclass(frozen=True, slots=True)
class OutputFile:
    """One file of the site, there already."""

    path: str
    """Relative to the output folder, with `/`."""
    data: bytes | Path
    """What it holds, or the file it is a copy of."""

    def __post_init__(self) -> None:
        _require_inside(self.path)

    @property
    def key(self) -> bytes:
        """A digest that differs where the content does. Raises `OSError` for a file that is gone.

        For a copy it is of all that the disk says about the file, the time of its last change of
        any kind included, which no program can set: as good as its content, and far quicker.
        """
        if isinstance(self.data, bytes):
            return digest(self.data)
        at = os.stat(self.data)
        told = (at.st_dev, at.st_ino, at.st_size, at.st_mtime_ns, at.st_ctime_ns)
        return digest("copy", repr(told))


@dataclass(frozen=True, slots=True)
class LazyFile:
    """One file of the site whose content is made only if it has to be written."""

    path: str
    """Relative to the output folder, with `/`."""
    key: bytes
    """A `digest` of all that the content depends on, the version of what makes it included."""
    make: Callable[[], bytes]

    def __post_init__(self) -> None:
        _require_inside(self.path)
        if len(self.key) != SIZE:
            raise ValueError(f"not a digest: {self.key!r}")


def _require_inside(path: str) -> None:
    """Raise `ValueError` unless a path stays in its folder and on its line of the marker."""
    around = f"/{path}/"
    if "//" in around or "/./" in around or "/../" in around or not _WRONG.isdisjoint(path):
        raise ValueError(f"not a path inside the output folder: {path!r}")


_WRONG: Final = {"\\", "\n", "\r"}
