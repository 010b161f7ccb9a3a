"""Writing a site: each file is kept, or made and written; then the folder is swapped in."""

import os
import shutil
from array import array
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

from stavewright.site.errors import OutputError
from stavewright.site.store import Store
from stavewright.site.write.files import LazyFile, OutputFile
from stavewright.site.write.folders import Building, building_beside, lay_spare, recover, swap
from stavewright.site.write.marker import FIRST_LINE, MARKER, held, identity, is_ours, listed
from stavewright.site.write.record import GONE, Earlier, Row, Rows, save
from stavewright.site.write.safety import refuse_place
from stavewright.site.write.spare import drop, make_room
from stavewright.site.write.standing import Standing, look_at


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
    """A digest of the record of the site that now stands; see `Standing`."""

    @property
    def changed(self) -> bool:
        """Whether the folder is another than before."""
        return bool(self.written or self.removed)


def write_site(
    files: Iterable[OutputFile | LazyFile],
    output: Path,
    store: Store | None = None,
    standing: Standing | None = None,
) -> WriteReport:
    """Make `output` hold exactly these files, whole or not at all.

    `files` are gone through once, in any order, and only the content of those that changed is asked
    for; where two have one path, either may win. What is known of the site now in place comes from
    the store, without which every file is written; `standing` saves looking at it, if somebody
    has. Raises `OutputError` when the folder is not ours, `OSError` when the disk refuses; in both
    cases the old site stands as it was.
    """
    refuse_place(output)
    target = output.resolve()
    target.parent.mkdir(parents=True, exist_ok=True)
    recover(target)
    with held(target), ExitStack() as stack:
        if standing is None or identity(target) != standing.marker:
            standing = look_at(target, store)
        writer = _Writer(standing, standing.earlier(store), stack)
        for file in files:
            writer.add(file)
        report, rows = writer.finish()
        if store is not None and report.changed:
            save(target, rows, store)
            lay_spare(target)
    return report


class _Writer:
    """The files of the new site as they come, and the folder they go to once there is a need."""

    def __init__(self, standing: Standing, earlier: Earlier, stack: ExitStack) -> None:
        self._standing = standing
        self._target = standing.folder
        self._earlier = earlier
        self._stack = stack
        self._kept = bytearray(len(earlier.rows))
        self._written: dict[str, int] = {}
        self._new_rows = Rows()
        self._building: Building | None = None
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
        earlier = self._earlier.rows
        if self._building is None and 0 < len(self._kept) == kept:
            return WriteReport(0, kept, 0, self._standing.site), earlier
        building = self._begun()
        removed = self._remove(building)
        places = array("L")
        shared = 0
        marker = building.folder / MARKER
        # What was listed there goes, but not the first line: whoever is killed here leaves a folder
        # that is known as ours.
        os.truncate(marker, len(FIRST_LINE) + 1)
        with marker.open("a", encoding="utf-8", newline="\n") as listing:
            for path, place in self._in_order():
                listing.write(f"{path}\n")
                is_old = place < len(earlier)
                at = self._link(path, place) if is_old and not building.is_full else place
                shared += is_old and at == place
                places.append(at)
        # A site that shares little with the next would be no help, and fill the disk.
        keep = shared * 2 > len(places)
        swap(building, self._target, refuse=self._standing.refuse_new, spare=keep)
        rows = Rows.chosen(earlier, self._new_rows, places)
        kept = len(rows) - len(self._written)
        return WriteReport(len(self._written), kept, removed, rows.digest), rows

    def _in_order(self) -> Iterator[tuple[str, int]]:
        """Every file of the new site, sorted by path, each once; and the place of its row.

        New rows follow on the earlier ones.
        """
        new = iter(sorted(self._written))
        next_new = next(new, None)
        for place, path in self._earlier.paths():
            while next_new is not None and next_new < path:
                yield next_new, len(self._kept) + self._written[next_new]
                next_new = next(new, None)
            if self._kept[place] and path not in self._written:
                yield path, place
        while next_new is not None:
            yield next_new, len(self._kept) + self._written[next_new]
            next_new = next(new, None)

    def _remove(self, building: Building) -> int:
        """Take what is in the old site alone out of the new one, if it is there; gives how many."""
        if not is_ours(self._target):
            return 0
        removed = 0
        for place, path in enumerate(listed(self._target)):
            known = place < len(self._kept)
            if path not in self._written and not (known and self._kept[place]):
                removed += 1
                if building.is_full and known and self._earlier.files[place] != GONE:
                    drop(os.fspath(building.folder), path)
        return removed

    def _write(self, file: OutputFile | LazyFile) -> os.stat_result:
        if self._begun().is_full:
            # What stands there may be the very file that stands in the old site.
            make_room(os.fspath(self._begun().folder), file.path)
        path = self._place(file.path)
        data = file.make() if isinstance(file, LazyFile) else file.data
        if isinstance(data, Path):
            shutil.copyfile(data, path)
        else:
            with open(path, "wb") as opened:
                opened.write(data)
        return os.lstat(path)

    def _link(self, path: str, place: int) -> int:
        """Give a kept file a second name in the new folder, or a copy where a disk has no links."""
        old, new = f"{self._target}/{path}", self._place(path)
        try:
            try:
                os.link(old, new)
                return place
            except FileNotFoundError:
                raise
            except OSError:
                shutil.copyfile(old, new)
        except FileNotFoundError:
            raise OutputError(
                f"{path} was taken out of {self._target} while that was being built; build again"
            ) from None
        self._new_rows.append(Row.of(self._earlier.rows[place].key, os.lstat(new)))
        return len(self._earlier.rows) + len(self._new_rows) - 1

    def _place(self, path: str) -> str:
        """Where a file goes in the new folder; what it lies in is made."""
        below, _, _ = path.rpartition("/")
        folder = self._begun().folder
        if below != self._made:
            try:
                # Most folders hold one page, and what they lie in is there already.
                os.mkdir(f"{folder}/{below}")
            except OSError:
                os.makedirs(f"{folder}/{below}", exist_ok=True)
            self._made = below
        return f"{folder}/{path}"

    def _begun(self) -> Building:
        if self._building is None:
            begun = building_beside(self._target, self._earlier)
            self._building = self._stack.enter_context(begun)
        return self._building
