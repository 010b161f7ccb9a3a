"""Writing a site: each file is kept, or made and written; then the folder is swapped in."""

import heapq
import os
import shutil
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from operator import itemgetter
from pathlib import Path

from stavewright.site.errors import OutputError
from stavewright.site.store import Store
from stavewright.site.write.files import LazyFile, OutputFile
from stavewright.site.write.folders import building_beside, recover, swap
from stavewright.site.write.marker import MARKER, held, is_ours, listed
from stavewright.site.write.record import Earlier, Row, Rows, save
from stavewright.site.write.safety import refuse_unsafe


@dataclass(frozen=True, slots=True)
class WriteReport:
    """What writing a site came to, in files."""

    written: int
    """Made and written."""
    kept: int
    """The same as before, and not touched."""
    removed: int
    """In the old site and not in the new one."""
    site: bytes = field(default=b"", compare=False)
    """A digest of the record of the site that now stands; see `standing`."""

    @property
    def changed(self) -> bool:
        """Whether the folder is another than before."""
        return bool(self.written or self.removed)


def write_site(
    files: Iterable[OutputFile | LazyFile], output: Path, store: Store | None = None
) -> WriteReport:
    """Make `output` hold exactly these files, whole or not at all.

    `files` are gone through once, in any order, and only the content of those that changed is asked
    for; where two have one path, either may win. What is known of the site now in place comes from
    the store, without which every file is written. Raises `OutputError` when the folder is not
    ours, `OSError` when the disk refuses; in both cases the old site stands as it was.
    """
    refuse_unsafe(output)
    target = output.resolve()
    target.parent.mkdir(parents=True, exist_ok=True)
    recover(target)
    with held(target), ExitStack() as stack:
        writer = _Writer(target, Earlier.of(target, store), stack)
        for file in files:
            writer.add(file)
        report, rows = writer.finish()
        if store is not None and report.changed:
            save(target, rows, store)
    return report


class _Writer:
    """The files of the new site as they come, and the folder they go to once there is a need."""

    def __init__(self, target: Path, earlier: Earlier, stack: ExitStack) -> None:
        self._target = target
        self._earlier = earlier
        self._stack = stack
        self._kept = bytearray(len(earlier.rows))
        self._written: dict[str, int] = {}
        self._new_rows = Rows()
        self._folder: Path | None = None
        self._made = ""

    def add(self, file: OutputFile | LazyFile) -> None:
        """Keep a file, or write it."""
        key = file.key
        place = self._earlier.place_if_same(file.path, key)
        if place is None:
            self._written[file.path] = len(self._new_rows)
            self._new_rows.append(Row.of(key, self._write(file)))
        else:
            self._kept[place] = True

    def finish(self) -> tuple[WriteReport, Rows]:
        """Put the new site in the place of the old one, unless they are the same."""
        kept = sum(self._kept)
        if self._folder is None and 0 < len(self._kept) == kept:
            return WriteReport(0, kept, 0, self._earlier.rows.digest), self._earlier.rows
        removed = self._count_removed()
        folder = self._building()
        rows = Rows()
        # Added to the marker that `building_beside` holds: whoever is killed here leaves a folder
        # that is known as ours.
        with (folder / MARKER).open("a", encoding="utf-8", newline="\n") as marker:
            for path, row in self._all_rows():
                marker.write(f"{path}\n")
                rows.append(row if path in self._written else self._link(path, row))
        swap(folder, self._target)
        kept = len(rows) - len(self._written)
        return WriteReport(len(self._written), kept, removed, rows.digest), rows

    def _all_rows(self) -> Iterator[tuple[str, Row]]:
        """Every file of the new site, sorted by path, each once."""
        kept = ((p, row) for p, row in self._earlier.paths(self._kept) if p not in self._written)
        written = ((path, self._new_rows[self._written[path]]) for path in sorted(self._written))
        return heapq.merge(kept, written, key=itemgetter(0))

    def _count_removed(self) -> int:
        if not is_ours(self._target):
            return 0
        kept = self._kept
        return sum(
            path not in self._written and not (place < len(kept) and kept[place])
            for place, path in enumerate(listed(self._target))
        )

    def _write(self, file: OutputFile | LazyFile) -> os.stat_result:
        path = self._place(file.path)
        data = file.make() if isinstance(file, LazyFile) else file.data
        if isinstance(data, Path):
            shutil.copyfile(data, path)
        else:
            with open(path, "wb") as opened:
                opened.write(data)
        return os.lstat(path)

    def _link(self, path: str, row: Row) -> Row:
        """Give a kept file a second name in the new folder, or a copy where a disk has no links."""
        old, new = f"{self._target}/{path}", self._place(path)
        try:
            try:
                os.link(old, new)
                return row
            except FileNotFoundError:
                raise
            except OSError:
                shutil.copyfile(old, new)
                return Row.of(row.key, os.lstat(new))
        except FileNotFoundError:
            raise OutputError(
                f"{path} was taken out of {self._target} while that was being built; build again"
            ) from None

    def _place(self, path: str) -> str:
        """Where a file goes in the new folder; what it lies in is made."""
        below, _, _ = path.rpartition("/")
        folder = self._building()
        if below != self._made:
            try:
                # Most folders hold one page, and what they lie in is there already.
                os.mkdir(f"{folder}/{below}")
            except OSError:
                os.makedirs(f"{folder}/{below}", exist_ok=True)
            self._made = below
        return f"{folder}/{path}"

    def _building(self) -> Path:
        if self._folder is None:
            self._folder = self._stack.enter_context(building_beside(self._target))
        return self._folder
