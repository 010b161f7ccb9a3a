"""What stands in the place of a site: looked at once, in one walk, for all that need to know."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from stavewright.site.errors import OutputError
from stavewright.site.store import Store
from stavewright.site.write.folders import recover
from stavewright.site.write.marker import MARKER, Names, held, identity, listed
from stavewright.site.write.record import GONE, Earlier, Rows, load
from stavewright.site.write.safety import foreign, refuse_foreign, refuse_place
from stavewright.site.write.walk import Folders, is_litter, paths_below, times_of


@dataclass(frozen=True, slots=True)
class Standing:
    """A site as it was found in its folder."""

    folder: Path
    site: bytes
    """A digest of the record of it; empty where there is none."""
    files: bytes
    """The state of each file, a byte each, in the order of the record."""
    marker: bytes
    """Tells the marker that was there from any other; empty where there was none."""
    folders: Folders

    @property
    def is_whole(self) -> bool:
        """Whether every file is as it was written."""
        return bool(self.files) and GONE not in self.files

    def earlier(self, store: Store | None) -> Earlier:
        """The site with what the store says of it, if that is still what it was."""
        rows = load(self.folder, store) if store is not None and self.files else None
        if rows is None or rows.digest != self.site:
            return Earlier(self.folder, Names(()), Rows(), b"")
        return Earlier(self.folder, Names(listed(self.folder)), rows, self.files)

    def refuse_new(self) -> None:
        """Raise `OutputError` if anything was put there since that Stavewright did not write."""
        refuse_place(self.folder)
        same = identity(self.folder) == self.marker and self.folders.unchanged(self.folder)
        if not same and self.folder.exists():
            refuse_foreign(self.folder)


def look(output: Path, store: Store | None, *sources: Path) -> Standing:
    """See what stands where a site is to go; what a killed build left is tidied first.

    Waits for another build that writes there. Raises `OutputError` unless the folder may be
    replaced without losing anything; `sources` are the folders the site is made from.
    """
    refuse_place(output, *sources)
    target = output.resolve()
    recover(target)
    with held(target):
        return look_at(target, store)


@contextmanager
def holding(output: Path, store: Store, site: bytes) -> Iterator[tuple[str, ...]]:
    """Keep builds off the site in a folder while it is read; gives the paths of its files, sorted.

    `site` is the digest that the build gave of it. Raises `OutputError` if what stands there is
    anything else by now, so that what goes out is what was checked.
    """
    target = output.resolve()
    with held(target):
        found = look_at(target, store)
        if not found.is_whole or found.site != site:
            raise OutputError(
                f"{output} is no longer as the build left it; do not build or edit there at the "
                "same time, and publish again (with `--store none`, if the store cannot be used)"
            )
        yield tuple(listed(target))


def look_at(target: Path, store: Store | None) -> Standing:
    """As `look`, into a folder whose marker is held."""
    marker = identity(target)
    rows = load(target, store) if store is not None else None
    if rows is None:
        if target.exists():
            refuse_foreign(target)
        return Standing(target, b"", b"", marker, Folders("", b""))
    times: dict[str, bytes] = {}
    files = _walk(target, rows, times)
    return Standing(target, rows.digest, bytes(files), marker, Folders.of(times))


def _walk(target: Path, rows: Rows, times: dict[str, bytes]) -> bytearray:
    """Go through a folder and its listing side by side; both are in the same order."""

    def enter(folder: str) -> None:
        times[folder] = times_of(target, folder)

    top = os.fspath(target)
    files = bytearray(len(rows))
    listing = enumerate(listed(target))
    place, expected = next(listing, _END)
    for path in paths_below(target, enter):
        while place >= 0 and expected < path:
            place, expected = next(listing, _END)
        if expected == path:
            try:
                files[place] = rows.state(place, os.lstat(f"{top}/{path}"))
            except FileNotFoundError:
                continue
        elif path != MARKER and not is_litter(path):
            raise foreign(target, path)
    return files


_END = (-1, "")
