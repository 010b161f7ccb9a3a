"""The folders a build works in: beside the output, named after it, and swapped by renaming."""

import glob
import os
import secrets
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from stavewright.site.write.marker import FIRST_LINE, MARKER, is_ours, listed, lock
from stavewright.site.write.record import Earlier
from stavewright.site.write.safety import foreign_in
from stavewright.site.write.spare import (
    IGNORE,
    compare,
    link_all,
    make_equal,
    remove_below,
    tells_capitals,
)

if sys.platform != "win32":
    import fcntl


@dataclass(frozen=True, slots=True)
class Building:
    """A folder that a site is being built in."""

    folder: Path
    is_full: bool
    """Whether it holds just what stands in the site in place; else nothing."""
    is_locked: bool
    """Whether others can tell that somebody works on it."""


def recover(output: Path) -> None:
    """Tidy what a killed build left beside `output`: the old site back, half a site away."""
    if not output.parent.is_dir():
        return
    with _alone(output.parent):
        for building in list(_left_beside(output, "building")):
            previous = _previous_of(building)
            if not output.exists() and previous.is_dir():
                # Killed between two renames. A spare alone means that somebody deleted the site.
                (previous / IGNORE).unlink(missing_ok=True)
                previous.rename(output)
            _remove(building)
        for superfluous in list(_left_beside(output, "previous"))[1:]:
            _discard(superfluous)


def _new_beside(output: Path) -> Path:
    return output.parent / f".{output.name}.building-{secrets.token_hex(4)}"


def _beside(output: Path, kind: str) -> str:
    """What such folders beside an output are called, as a pattern."""
    return f".{glob.escape(output.name)}.{kind}-*"


def _left_beside(output: Path, kind: str) -> Iterator[Path]:
    for folder in sorted(output.parent.glob(_beside(output, kind))):
        if _is_abandoned(folder):
            yield folder
        elif _is_bare(folder):
            # Killed before it had its marker, or after that was gone.
            with suppress(OSError):
                (folder / MARKER).unlink(missing_ok=True)
                folder.rmdir()


@contextmanager
def building_beside(target: Path, earlier: Earlier | None = None) -> Iterator[Building]:
    """A folder beside the target with a locked marker in it, gone again if the build fails.

    It is the spare where there is one, made equal to the site in place. Only the first line of the
    marker counts yet; the writer adds the listing when all files are known. Raises `OutputError`
    where the spare holds what Stavewright did not write.
    """
    building = _new_beside(target)
    try:
        with ExitStack() as stack:
            with _alone(target.parent):
                if earlier is not None and _take_spare(target, building, earlier, stack):
                    made = Building(building, is_full=True, is_locked=True)
                else:
                    made = Building(building, is_full=False, is_locked=_start(building, stack))
            yield made
    finally:
        _remove(building)


def _start(building: Path, stack: ExitStack) -> bool:
    building.mkdir()
    marker = stack.enter_context((building / MARKER).open("wb"))
    locked = True
    try:
        lock(marker)
    except OSError:
        locked = False
    marker.write(f"{FIRST_LINE}\n".encode())
    marker.flush()
    return locked


def _take_spare(target: Path, building: Path, earlier: Earlier, stack: ExitStack) -> bool:
    """Make the spare the folder to build in, if there is one and it is of use."""
    spare = next(_left_beside(target, "previous"), None)
    if spare is None or not any(earlier.files) or not tells_capitals(spare):
        return False
    try:
        lock(stack.enter_context((spare / MARKER).open("rb")))
    except OSError:
        return False
    differences = compare(spare, earlier)
    # From here on it is no whole site any more, and its name says so before it is touched.
    spare.rename(building)
    try:
        make_equal(building, earlier, differences)
    except OSError:
        _remove(building)
        return False
    return True


def swap(building: Building, target: Path, *, refuse: Callable[[], None], spare: bool) -> None:
    """Put the new folder where the old one stands; the old one comes back if that fails.

    `refuse` raises `OutputError` where the old one must not go. It is kept as a spare, or deleted.
    """
    previous = _previous_of(building.folder)
    with _alone(target.parent):
        # Somebody may have put a file there while we built.
        refuse()
        _rename(building.folder, target, previous)
        # The new site stands; what cannot be removed of the old one is the next build's to tidy.
        with suppress(OSError):
            if spare and building.is_locked and tells_capitals(target):
                _ignored(previous)
            else:
                _remove(_half(previous))
                for other in list(_left_beside(target, "previous")):
                    _discard(other)


def lay_spare(target: Path) -> None:
    """Give a site that has just been put in place a spare, if it has none and the disk lets it.

    Else the first change to a large site would wait for what the next ones do not. The site is not
    touched, and must not be changed meanwhile.
    """
    if next(target.parent.glob(_beside(target, "previous")), None) or not tells_capitals(target):
        return
    building = _new_beside(target)
    try:
        with ExitStack() as stack, suppress(OSError):
            with _alone(target.parent):
                if not _start(building, stack):
                    return
            shutil.copyfile(target / MARKER, building / MARKER)
            link_all(target, os.fspath(building), listed(target))
            _ignored(building)
            with _alone(target.parent):
                building.rename(_previous_of(building))
    finally:
        _remove(building)


def _ignored(spare: Path) -> None:
    with (spare / IGNORE).open("xb") as file:
        file.write(b"*\n")


def _rename(building: Path, target: Path, previous: Path) -> None:
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


def _previous_of(building: Path) -> Path:
    """What the site that a new one replaces is called for the moment of the swap, and after it."""
    return building.with_name(building.name.replace(".building-", ".previous-"))


def _half(previous: Path) -> Path:
    """A folder under another name, which says that it is no whole site from now on."""
    if not previous.exists():
        return previous
    return previous.rename(previous.with_name(previous.name.replace(".previous-", ".building-")))


def _discard(spare: Path) -> None:
    """Delete a spare, unless somebody put something of theirs into it."""
    if foreign_in(spare, IGNORE) is None:
        _remove(_half(spare))


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
            remove_below(os.fspath(entry))
        elif entry.name != MARKER:
            entry.unlink()
    shutil.rmtree(folder)
