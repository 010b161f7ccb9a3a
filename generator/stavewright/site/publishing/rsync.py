"""Publishing by rsync: what is new goes out, what an earlier publication put there goes away.

The proof of what we put there is the marker at the destination, as in a folder of ours; it lists
every file. A destination without one has to be empty, and where there is one, all that it does
not list is left alone, whatever it is.

    fetch    the marker that is there
    look     whether anything that it does not list is in the way
    claim    a marker that lists the old files and the new ones
    send     the files, changed over at the end
    clear    what the site no longer has; then the marker that lists the site alone

Whoever is stopped in between leaves a marker that lists at least what we put there, so the next
publication knows all of it. No step can delete anything that its own list does not name: clearing
is done from an empty folder, so that nothing can be sent, under rules that protect all the rest.
"""

import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stavewright.site.errors import CannotRunError, OutputError
from stavewright.site.publishing.changes import Changes, Site
from stavewright.site.publishing.programs import Done, printable, require, run
from stavewright.site.publishing.rsync_words import (
    escaped,
    is_inside,
    listed_entries,
    no_such_folder,
    sent_files,
)
from stavewright.site.targets import ToRsync, destination_fault
from stavewright.site.write import MARKER, is_ours, listed

_COMMAND: Final = ("rsync", "--8-bit-output", "--from0")
_MODES: Final = "--chmod=D755,F644"
"""Of what is new, as far as the other computer allows: whoever serves it has to be able to."""

_RULES: Final = 1000
"""How many files are deleted at once: rsync holds every name that it comes upon to every rule, but
does not go into folders that no rule exposes."""
_WAITING: Final = f"--partial-dir={MARKER}-new"
"""Where, in each folder, new files wait until all have come."""


@dataclass(frozen=True, slots=True)
class Destination:
    """A folder that rsync can reach."""

    name: str
    """As rsync takes it."""
    folder: Path | None
    """The same, if it is on this computer."""

    @classmethod
    def of(cls, target: ToRsync, *sources: Path) -> "Destination":
        """The destination that is meant; `sources` are folders that it must lie apart from.

        Raises `CannotRunError` if it cannot be one.
        """
        fault = destination_fault(target.destination)
        if fault is not None:
            raise CannotRunError(f"{fault}; {printable(target.destination)!r} will not do")
        folder = None if target.local is None else target.local.resolve()
        if folder is not None:
            _refuse_overlap(folder, sources)
        require("rsync", "rsync")
        return cls(target.destination if folder is None else str(folder), folder)

    def changes(self, site: Site) -> Changes:
        """What publishing a site would change there. Raises as `publish` does."""
        with tempfile.TemporaryDirectory(prefix="stavewright-") as scratch:
            return _Errand(self, site, Path(scratch)).look()

    def publish(self, site: Site) -> Changes:
        """Bring a site there; gives what that changed.

        Raises `OutputError` where something is in the way that is not ours, `CannotRunError` where
        rsync fails.
        """
        if self.folder is not None:
            self.folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix="stavewright-") as scratch:
            return _Errand(self, site, Path(scratch)).carry_out()

    @property
    def within(self) -> str:
        """The folder, as rsync takes it for what is in it."""
        return self.name if self.name.endswith((":", "/")) else f"{self.name}/"


class _Errand:
    """One site on its way to one destination."""

    def __init__(self, destination: Destination, site: Site, scratch: Path) -> None:
        self._destination = destination
        self._site = site
        self._new = frozenset(site.files)
        self._new_folders = _folders_of(site.files)
        self._empty, self._there, self._here = (scratch / name for name in ("e", "t", "h"))
        for folder in (self._empty, self._there, self._here):
            folder.mkdir()

    def look(self) -> Changes:
        """What would change."""
        old = self._claimed()
        if old is None:
            return Changes(new=self._site.files)
        return self._changes(self._send("--dry-run"), old)

    def carry_out(self) -> Changes:
        """Every step, in order."""
        old = self._claimed() or frozenset()
        gone = sorted(old - self._new)
        if not self._new <= old:
            self._mark(old | self._new)
        # A file can take the place of a folder only when that is empty.
        self._clear([path for path in gone if not self._new.isdisjoint(_folders_of([path]))])
        told = self._send()
        # Where a folder took the place of a file, that is gone already.
        self._clear([path for path in gone if path not in self._new_folders])
        if gone:
            self._mark(self._new)
        return self._changes(told, old)

    def _claimed(self) -> frozenset[str] | None:
        """The files that an earlier publication put there; None where there is no folder at all.

        Raises `OutputError` if something else stands where a file of ours would go.
        """
        if not self._fetch():
            return None
        if not is_ours(self._there):
            self._require_empty()
            return frozenset()
        old = frozenset(filter(is_inside, listed(self._there)))
        fresh = self._new - old
        if fresh:
            self._require_room(fresh, old)
        return old

    def _fetch(self) -> bool:
        """Fetch the marker that is there, if one is; whether there is a folder at all."""
        rules = (f"--filter=+ /{MARKER}", "--filter=- *")
        done = run((*_COMMAND, "-r", *rules, "--", self._destination.within, f"{self._there}/"))
        if done.code and not no_such_folder(done.errors):
            raise self._failure(done)
        return done.code == 0

    def _require_empty(self) -> None:
        told = self._ask("-r", "--links", "--filter=+ /*", "--filter=- *")
        for path, _ in listed_entries(told):
            # Hosts keep hidden files of their own in a folder that is otherwise empty.
            if not path.startswith(".") or path.partition(" -> ")[0] == MARKER:
                raise self._in_the_way(path)

    def _require_room(self, fresh: frozenset[str], old: frozenset[str]) -> None:
        folders, old_folders = _folders_of(fresh), _folders_of(old)
        wanted = "".join(f"+ /{escaped(path)}\0" for path in sorted(fresh | folders))
        rules = ("--filter=merge -", "--filter=- *")
        told = self._ask("-r", "--links", *rules, given=wanted.encode())
        for path, is_folder in listed_entries(told):
            ours = path in old_folders if is_folder else path in old
            if not ours and not (is_folder and path in folders):
                raise self._in_the_way(path)

    def _mark(self, paths: Iterable[str]) -> None:
        """Put a marker there that lists these files."""
        first, _, _ = (self._site.folder / MARKER).read_text("utf-8").partition("\n")
        text = "\n".join([first, *sorted(paths), ""])
        (self._here / MARKER).write_text(text, encoding="utf-8", newline="\n")
        self._rsync("--checksum", _MODES, "--", f"{self._here}/{MARKER}", self._destination.within)

    def _send(self, *options: str) -> str:
        """Send the files of the site; gives what rsync says of each that it sent."""
        # Contents are compared, never times: a file that is the same keeps the date that readers'
        # browsers know it by, whichever computer it was built on.
        return self._rsync(
            *options,
            *(
                "--checksum",
                "--delay-updates",
                _WAITING,
                _MODES,
                "--out-format=%i %n",
                "--files-from=-",
            ),
            *("--", f"{self._site.folder}/", self._destination.within),
            given="".join(f"./{path}\0" for path in self._site.files).encode(),
        )

    def _clear(self, paths: list[str]) -> None:
        """Delete files that we put there, and the folders that are empty without them."""
        for first in range(0, len(paths), _RULES):
            self._clear_some(paths[first : first + _RULES])

    def _clear_some(self, paths: list[str]) -> None:
        folders = _folders_of(paths)
        exposed = [f"/{escaped(path)}" for path in paths]
        exposed += [f"/{escaped(folder)}/" for folder in sorted(folders)]
        # That all else is protected stands on the command line: a list that broke off could
        # then expose too little, and never too much.
        self._rsync(
            *("-r", "--delete", f"--max-delete={len(exposed)}"),
            *("--filter=merge -", "--filter=P *"),
            *("--", f"{self._empty}/", self._destination.within),
            given="".join(f"R {path}\0" for path in exposed).encode(),
        )

    def _changes(self, told: str, old: frozenset[str]) -> Changes:
        new, changed = sent_files(told)
        return Changes(new, changed, tuple(sorted(old - self._new)))

    def _ask(self, *options: str, given: bytes = b"") -> str:
        return self._rsync("--list-only", *options, "--", self._destination.within, given=given)

    def _rsync(self, *arguments: str, given: bytes = b"") -> str:
        done = run((*_COMMAND, *arguments), given=given)
        if done.code:
            raise self._failure(done)
        return done.text

    def _failure(self, done: Done) -> CannotRunError:
        return CannotRunError(
            f"rsync could not bring the site to {self._shown}; it says:\n{done.words}\n"
            "What had arrived there stays; publish again to go on"
        )

    def _in_the_way(self, path: str) -> OutputError:
        return OutputError(
            f"the destination {self._shown} holds {printable(path)!r}, which Stavewright did not "
            "put there; publish to a folder of its own, or move that elsewhere yourself"
        )

    @property
    def _shown(self) -> str:
        return printable(self._destination.name)


def _folders_of(paths: Iterable[str]) -> frozenset[str]:
    """Every folder that one of these files lies in."""
    folders: set[str] = set()
    for path in paths:
        folder = path.rpartition("/")[0]
        while folder and folder not in folders:
            folders.add(folder)
            folder = folder.rpartition("/")[0]
    return frozenset(folders)


def _refuse_overlap(folder: Path, sources: Iterable[Path]) -> None:
    for source in (source.resolve() for source in sources):
        if folder == source or folder in source.parents or source in folder.parents:
            raise OutputError(
                f"the destination {folder} and {source} lie in each other; "
                "publish to a folder of its own"
            )
