"""What lies in a folder, name by name, and whether names were added to it or taken away since."""

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Self

from stavewright.site.store import digest

LITTER: Final = {".DS_Store", "Thumbs.db", "desktop.ini"}
"""What file browsers drop into any folder they show; no author would miss it."""


def paths_below(top: Path, enter: Callable[[str], object] | None = None) -> Iterator[str]:
    """Every file and link below a folder, with `/`, sorted; links are not followed.

    The order is that of the whole paths, which is the marker's. `enter` is told of each folder
    before that is read, `""` for the first and with a `/` at its end for others. Raises `OSError`.
    """
    waiting = [""]
    while waiting:
        path = waiting.pop()
        if path and path[-1] != "/":
            yield path
            continue
        if enter is not None:
            enter(path)
        found = []
        with os.scandir(f"{top}/{path}") as entries:
            for entry in entries:
                folder = entry.is_dir(follow_symlinks=False)
                found.append(f"{path}{entry.name}/" if folder else path + entry.name)
        found.sort(reverse=True)
        waiting += found


def is_litter(path: str) -> bool:
    """Whether a path is that of something which nobody put there on purpose."""
    return path.rpartition("/")[2] in LITTER


@dataclass(frozen=True, slots=True)
class Folders:
    """The folders of a site, and a digest of when each was last changed.

    A name that is added to a folder or taken from it shows in the folder's own times, so a walk
    need not be made twice to know that nothing was put there meanwhile.
    """

    names: str
    """In the order of a walk, a line each."""
    times: bytes

    @classmethod
    def of(cls, times: dict[str, bytes]) -> Self:
        """The folders with these names, each with its `times_of`, in the order of a walk."""
        return cls("\n".join(times), digest(*times.values()))

    def unchanged(self, top: Path) -> bool:
        """Whether all of them are as they were."""
        try:
            return (
                Folders.of({name: times_of(top, name) for name in self.names.split("\n")}) == self
            )
        except OSError:
            return False


def times_of(top: Path, name: str) -> bytes:
    """What the disk says of a folder; differs after a name in it was added or taken away."""
    it = os.lstat(f"{top}/{name}")
    return b"%d %d %d" % (it.st_ino, it.st_mtime_ns, it.st_ctime_ns)
