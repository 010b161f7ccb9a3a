"""The written site: built beside the old one, then put in its place by renaming.

What this file promises, whatever goes wrong: the old site stays whole until the new one is whole;
nothing that Stavewright did not write is ever deleted. The proof of "we wrote it" is the file
`.stavewright` inside the folder, which lists everything else the folder holds. Two folders may be
left beside the output by a process that was killed, both carrying that file:

    .site.building-…   a build that never finished; removed by the next one
    .site.previous-…   the old site, killed between two renames; put back by the next build

A live build holds a lock on its marker, so a second build leaves the first one's folder alone.
"""

import glob
import os
import secrets
import shutil
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import IO

from stavewright.site.errors import OutputError

if sys.platform != "win32":
    import fcntl

MARKER = ".stavewright"
_FIRST_LINE = "Written by Stavewright, which replaces this folder whole. It wrote these files:"
_SYSTEM_LITTER = {".DS_Store", "Thumbs.db", "desktop.ini"}
"""What file browsers drop into any folder they show; no author would miss it."""


@dataclass(frozen=True, slots=True)
class OutputFile:
    """One file of the site."""

    path: str
    """Relative to the output folder, with `/`."""
    data: bytes | Path
    """What it holds, or the file it is a copy of."""

    def __post_init__(self) -> None:
        parts = PurePosixPath(self.path).parts
        if not parts or self.path.startswith("/") or ".." in parts or "\\" in self.path:
            raise ValueError(f"not a path inside the output folder: {self.path!r}")


def refuse_unsafe(output: Path, *sources: Path) -> None:
    """Raise `OutputError` unless `output` may be replaced without losing anything.

    `sources` are the folders the site is made from: content and theme.
    """
    if output.is_symlink():
        raise OutputError(f"the output {output} is a link to another place; name the folder itself")
    resolved = output.resolve()
    here = Path.cwd().resolve()
    if resolved == here or resolved in here.parents:
        raise OutputError(
            f"the output {output} is the folder this command runs in, or holds it; "
            "choose a folder of its own, such as `site`"
        )
    for source in sources:
        _refuse_overlap(output, resolved, source)
    if resolved.exists():
        _refuse_foreign(output, resolved)


def write_site(files: Sequence[OutputFile], output: Path) -> None:
    """Replace `output` by exactly these files, whole or not at all.

    Raises `OutputError` when the folder is not ours, `OSError` when the disk refuses; in both
    cases the old site stands as it was.
    """
    refuse_unsafe(output)
    target = output.resolve()
    target.parent.mkdir(parents=True, exist_ok=True)
    recover(target)
    with _building(target, [file.path for file in files]) as building:
        for file in files:
            _write(file, building)
        _swap(building, target)


def recover(output: Path) -> None:
    """Tidy what a killed build left beside `output`: the old site back, half a site away."""
    parent, name = output.parent, output.name
    if not parent.is_dir():
        return
    for previous in sorted(parent.glob(f".{glob.escape(name)}.previous-*")):
        if not _is_abandoned(previous):
            continue
        if not output.exists():
            previous.rename(output)
        else:
            _remove(previous)
    for building in sorted(parent.glob(f".{glob.escape(name)}.building-*")):
        if _is_abandoned(building):
            _remove(building)


def _refuse_overlap(output: Path, resolved: Path, source: Path) -> None:
    origin = source.resolve()
    if resolved == origin or origin in resolved.parents:
        raise OutputError(f"the output {output} lies inside {source}, which it is made from")
    if resolved in origin.parents:
        raise OutputError(f"the output {output} holds {source}, which it is made from")


def _refuse_foreign(output: Path, resolved: Path) -> None:
    if not resolved.is_dir():
        raise OutputError(f"the output {output} is a file; choose a folder")
    entries = set(_entries(resolved))
    known = _listed(resolved)
    if known is None:
        if entries:
            raise OutputError(
                f"the output {output} is not empty and Stavewright did not make it; "
                "choose another folder, or empty this one yourself"
            )
        return
    foreign = sorted(entries - known - {MARKER})
    if foreign:
        raise OutputError(
            f"the output {output} holds {foreign[0]!r}, which Stavewright did not write and would "
            "delete; move it elsewhere (files in the content folder are copied into the site)"
        )


def _entries(folder: Path) -> Iterator[str]:
    """Every file and link below a folder, with `/`; links are not followed."""
    for parent, folders, names in os.walk(folder):
        links = [name for name in folders if Path(parent, name).is_symlink()]
        for name in [*names, *links]:
            if name not in _SYSTEM_LITTER:
                yield Path(parent, name).relative_to(folder).as_posix()


def _listed(folder: Path) -> set[str] | None:
    """What the marker says we wrote; None where there is no marker of ours."""
    marker = folder / MARKER
    if marker.is_symlink() or not marker.is_file():
        return None
    lines = marker.read_text("utf-8", errors="replace").splitlines()
    return set(lines[1:]) if lines and lines[0] == _FIRST_LINE else None


def _is_abandoned(folder: Path) -> bool:
    """Whether a folder is ours and no living process works on it."""
    if folder.is_symlink() or not folder.is_dir() or _listed(folder) is None:
        return False
    if sys.platform == "win32":  # No such lock there: the author deletes what a killed build left.
        return False
    with (folder / MARKER).open("rb") as marker:
        return _lock(marker)


def _lock(marker: IO[bytes]) -> bool:
    if sys.platform != "win32":
        try:
            fcntl.flock(marker, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
    return True


@contextmanager
def _building(target: Path, paths: Sequence[str]) -> Iterator[Path]:
    """A new folder beside the target with the marker in it, gone again if the build fails."""
    building = target.parent / f".{target.name}.building-{secrets.token_hex(4)}"
    building.mkdir()
    try:
        listing = "\n".join([_FIRST_LINE, *sorted(paths), ""])
        with (building / MARKER).open("w+b") as marker:
            _lock(marker)
            marker.write(listing.encode())
            marker.flush()
            yield building
    finally:
        _remove(building)


def _write(file: OutputFile, folder: Path) -> None:
    path = folder / file.path
    path.parent.mkdir(parents=True, exist_ok=True)
    if isinstance(file.data, Path):
        shutil.copyfile(file.data, path)
    else:
        path.write_bytes(file.data)


def _swap(building: Path, target: Path) -> None:
    """Put the new folder where the old one stands; the old one comes back if that fails."""
    # Somebody may have put a file there while we built.
    refuse_unsafe(target)
    previous = target.parent / building.name.replace(".building-", ".previous-")
    if target.exists() and not any(target.iterdir()):
        target.rmdir()
    try:
        if target.exists():
            target.rename(previous)
        building.rename(target)
    except BaseException:
        # An interrupt may come between the two as well.
        if previous.exists() and not target.exists():
            with suppress(OSError):
                previous.rename(target)
        raise
    # The new site stands; what cannot be removed of the old one is the next build's to tidy.
    with suppress(OSError):
        _remove(previous)


def _remove(folder: Path) -> None:
    """Delete a folder of ours, its marker last, so that half of it is still known as ours."""
    if not folder.exists():
        return
    for entry in folder.iterdir():
        if entry.is_dir() and not entry.is_symlink():
            shutil.rmtree(entry)
        elif entry.name != MARKER:
            entry.unlink()
    shutil.rmtree(folder)
