"""The site before this one, kept to be the next: compared with the site in place, and made equal.

Nothing is recorded of it, since the disk tells all that counts: a name in it that leads to the very
file which stands in the site, known to be as it was written, is that file. So a spare may be old,
half changed or half deleted, and is only the more work for it.
"""

import os
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stavewright.site.errors import OutputError
from stavewright.site.write.marker import MARKER, listed
from stavewright.site.write.record import GONE, LINKED, Earlier
from stavewright.site.write.walk import is_litter

IGNORE: Final = ".gitignore"
"""Lies in a spare, lest it turns up in the version control of a project."""


@dataclass(frozen=True, slots=True)
class Differences:
    """What makes a spare another than the site in place."""

    other: list[str]
    """Files of the spare that are not those of the site, sorted; all of them ours."""
    bare: list[str]
    """Folders of the spare with nothing in them."""
    missing: list[str]
    """Files of the site that are not in the spare, sorted."""


def compare(spare: Path, site: Earlier) -> Differences:
    """How a spare differs from the site.

    Raises `OutputError` if it holds anything that Stavewright did not write.
    """
    found = bytearray(len(site.rows))
    other: list[str] = []
    bare: list[str] = []
    for path, inode in _names_below(spare):
        place = site.names.find(path)
        if path.endswith("/"):
            bare.append(path[:-1])
        # On a disk that numbers its files otherwise than by what they are, none has two names.
        elif place is not None and site.files[place] == LINKED and site.rows.is_inode(place, inode):
            found[place] = True
        elif path != MARKER:
            other.append(path)
    _refuse_foreign(spare, other)
    missing = [p for place, p in site.paths() if not found[place] and site.files[place] != GONE]
    return Differences(sorted(other), bare, missing)


def make_equal(spare: Path, site: Earlier, differences: Differences) -> None:
    """Let a spare hold just what stands in the site. Raises `OSError`, with the work half done."""
    top = os.fspath(spare)
    for path in differences.other:
        drop(top, path)
    for folder in differences.bare:
        _drop_bare(top, folder)
    link_all(site.folder, top, differences.missing)


def link_all(site: Path, top: str, paths: Iterable[str]) -> None:
    """Give files of a site, sorted, a second name in a folder. Raises `OSError` where it cannot."""
    made = ""
    for path in paths:
        below, _, _ = path.rpartition("/")
        if below != made:
            os.makedirs(f"{top}/{below}", exist_ok=True)
            made = below
        os.link(f"{site}/{path}", f"{top}/{path}")


def drop(top: str, path: str) -> None:
    """Take a file out of a folder of ours, and the folders that are bare without it.

    Something else may have taken its place, or the place of a folder it lay in.
    """
    try:
        os.unlink(f"{top}/{path}")
    except (FileNotFoundError, NotADirectoryError):
        return
    except OSError:
        if not os.path.isdir(f"{top}/{path}"):
            raise
        return
    _drop_bare(top, path.rpartition("/")[0])


def make_room(top: str, path: str) -> None:
    """Take away what stands in a folder of ours where a file is to go, whatever it is."""
    folder, slash, _ = path.rpartition("/")
    if slash and not os.path.isdir(f"{top}/{folder}"):
        steps = folder.split("/")
        for depth in range(1, len(steps) + 1):
            above = f"{top}/{'/'.join(steps[:depth])}"
            if not os.path.isdir(above):
                with suppress(FileNotFoundError):
                    os.unlink(above)
                return
    try:
        os.unlink(f"{top}/{path}")
    except FileNotFoundError:
        pass
    except OSError:
        if not os.path.isdir(f"{top}/{path}"):
            raise
        remove_below(f"{top}/{path}")


def remove_below(folder: str) -> None:
    """Delete a folder and all in it; links are not followed.

    The library's own function asks the disk four times where this asks once: nobody but us works in
    a folder of ours that is on its way out.
    """
    below = []
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                below.append(entry.path)
            else:
                os.unlink(entry.path)
    for path in below:
        remove_below(path)
    os.rmdir(folder)


def tells_capitals(folder: Path) -> bool:
    """Whether `A` and `a` are two names on the disk of a folder of ours.

    Else a spare cannot be used: to take `A` out of it would take the new `a`.
    """
    return not os.path.lexists(folder / MARKER.upper())


def _drop_bare(top: str, folder: str) -> None:
    with suppress(OSError):
        while folder:
            os.rmdir(f"{top}/{folder}")
            folder = folder.rpartition("/")[0]


def _refuse_foreign(spare: Path, paths: list[str]) -> None:
    unknown = {path for path in paths if path != IGNORE and not is_litter(path)}
    if unknown:
        unknown.difference_update(listed(spare))
    if unknown:
        raise OutputError(
            f"{spare}, which is kept to write the next site in, holds {min(unknown)!r}, which "
            "Stavewright did not write and would delete; move it elsewhere"
        )


def _names_below(top: Path) -> Iterator[tuple[str, int]]:
    """Every file and link below a folder, and every empty folder with a `/`, and its inode.

    In no order: of a folder with a hundred thousand files none need be held.
    """
    waiting = [""]
    while waiting:
        path = waiting.pop()
        empty = bool(path)
        with os.scandir(f"{top}/{path}") as entries:
            for entry in entries:
                empty = False
                if entry.is_dir(follow_symlinks=False):
                    waiting.append(f"{path}{entry.name}/")
                else:
                    yield path + entry.name, entry.inode()
        if empty:
            yield path, 0
