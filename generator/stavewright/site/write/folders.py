"""The folders a build works in: beside the output, named after it, and swapped by renaming."""

import glob
import os
import secrets
import shutil
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from stavewright.site.write.marker import FIRST_LINE, MARKER, is_ours, lock
from stavewright.site.write.safety import refuse_unsafe

if sys.platform != "win32":
    import fcntl


def recover(output: Path) -> None:
    """Tidy what a killed build left beside `output`: the old site back, half a site away."""
    if not output.parent.is_dir():
        return
    with _alone(output.parent):
        for previous in _left_beside(output, "previous"):
            if not output.exists():
                previous.rename(output)
            else:
                _remove(previous)
        for building in _left_beside(output, "building"):
            _remove(building)


def _left_beside(output: Path, kind: str) -> Iterator[Path]:
    for folder in sorted(output.parent.glob(f".{glob.escape(output.name)}.{kind}-*")):
        if _is_abandoned(folder):
            yield folder
        elif _is_bare(folder):
            # Killed before it had its marker, or after that was gone.
            with suppress(OSError):
                (folder / MARKER).unlink(missing_ok=True)
                folder.rmdir()


@contextmanager
def building_beside(target: Path) -> Iterator[Path]:
    """A new folder beside the target with a locked marker in it, gone again if the build fails.

    The marker's listing is still empty; the writer adds to it when all files are known.
    """
    building = target.parent / f".{target.name}.building-{secrets.token_hex(4)}"
    try:
        with ExitStack() as stack:
            with _alone(target.parent):
                building.mkdir()
                marker = stack.enter_context((building / MARKER).open("wb"))
                with suppress(OSError):
                    lock(marker)
                marker.write(f"{FIRST_LINE}\n".encode())
                marker.flush()
            yield building
    finally:
        _remove(building)


def swap(building: Path, target: Path) -> None:
    """Put the new folder where the old one stands; the old one comes back if that fails."""
    previous = target.parent / building.name.replace(".building-", ".previous-")
    with _alone(target.parent):
        _rename(building, target, previous)
    # The new site stands; what cannot be removed of the old one is the next build's to tidy.
    with suppress(OSError):
        _remove(previous)


def _rename(building: Path, target: Path, previous: Path) -> None:
    # Somebody may have put a file there while we built.
    refuse_unsafe(target)
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


@contextmanager
def _alone(parent: Path) -> Iterator[None]:
    """Keep other builds from making, renaming and tidying in a folder for a moment.

    A folder that is just being made has no marker to hold yet, nor has a site that is built for the
    first time; so the folder around them is locked.
    """
    if sys.platform == "win32":
        yield
        return
    folder = os.open(parent, os.O_RDONLY)
    try:
        with suppress(OSError):
            fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)


def _is_abandoned(folder: Path) -> bool:
    """Whether a folder is ours and no living process works on it."""
    if folder.is_symlink() or not folder.is_dir() or not is_ours(folder):
        return False
    if sys.platform == "win32":  # No such lock there: the author deletes what a killed build left.
        return False
    try:
        with (folder / MARKER).open("rb") as marker:
            lock(marker)
    except OSError:
        return False
    return True


def _is_bare(folder: Path) -> bool:
    """Whether a folder holds nothing, or nothing but a marker that was never written."""
    if folder.is_symlink() or not folder.is_dir():
        return False
    marker = folder / MARKER
    empty = not marker.is_symlink() and (not marker.exists() or marker.stat().st_size == 0)
    return empty and all(entry == marker for entry in folder.iterdir())


def _remove(folder: Path) -> None:
    """Delete a folder of ours, its marker last, so that half of it is still known as ours."""
    if not folder.exists():
        return
    for entry in folder.iterdir():
        if entry.is_dir() and not entry.is_symlink():
            _remove_below(os.fspath(entry))
        elif entry.name != MARKER:
            entry.unlink()
    shutil.rmtree(folder)


def _remove_below(folder: str) -> None:
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
        _remove_below(path)
    os.rmdir(folder)
