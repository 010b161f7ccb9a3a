"""Watching folders: one call when something in them changed and then stayed quiet for a moment."""

import re
from collections.abc import Callable, Iterable
from pathlib import Path
from threading import Event, Lock, Thread
from time import monotonic

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer
from watchdog.observers.api import ObservedWatch

QUIET_SECONDS = 0.006
"""Editors save in several steps (write aside, rename, set times); this waits for the last."""
LONGEST_SECONDS = 0.15
"""Where it never gets quiet, this is waited and no longer."""
PACE_SECONDS = 0.06
"""From one telling to the next at least: faster than anybody types, and no processor is kept busy
by a program that saves without end."""
LOOK_SECONDS = 0.5
"""How often the folders themselves are looked for.

A watch goes with its folder: one that is moved away, deleted or put back tells nobody.
"""

# Opening and closing without writing are events too; building causes plenty of those.
_CHANGES = {"created", "modified", "deleted", "moved", "closed"}

_ASIDE = re.compile(r"\..*|.*~|#.*#|.*\.(?:sw[a-z]|tmp|bak)|4913|___jb_\w+___", re.IGNORECASE)
"""Names of the files that editors put beside those that they save, and of hidden ones."""
_BURST = 200
"""More changes than this at once: the system may have dropped some, so look at everything."""

_Identity = tuple[int, int]
"""Device and number of a folder: whether it is still the same one."""


class Watcher(FileSystemEventHandler):
    """Calls `changed` in a thread of its own after changes below the watched folders.

    It is given the files that changed, or None where folders came, went or moved: then anything
    below them may have changed too. It is called once at the start, with None.
    """

    def __init__(self, changed: Callable[[frozenset[Path] | None], None]) -> None:
        super().__init__()
        self._changed = changed
        self._noticed = Event()
        self._stopping = Event()
        self._observer = Observer()
        self._lock = Lock()
        self._folders: dict[Path, tuple[_Identity, ObservedWatch] | None] = {}
        self._lost: set[str] = set()
        """Folders that were deleted: one made in their place may have the same number."""
        self._paths: set[Path] = set()
        self._is_whole = True
        """Whether everything may have changed."""
        self._thread = Thread(target=self._run, name="preview-watcher", daemon=True)

    @property
    def has_news(self) -> bool:
        """Whether something changed that nobody was told of yet."""
        return self._noticed.is_set()

    def watch(self, folders: Iterable[Path]) -> None:
        """Watch these folders as well; one that does not exist is waited for."""
        with self._lock:
            for folder in folders:
                path = folder.absolute()
                known = any(path.is_relative_to(watched) for watched in self._folders)
                if not known:
                    self._folders[path] = self._begin(path)

    def start(self) -> None:
        """Begin to watch."""
        self._observer.start()
        self._thread.start()

    def stop(self) -> None:
        """Stop watching; returns when a call that is under way has ended."""
        self._stopping.set()
        self._noticed.set()
        self._observer.stop()
        self._observer.join()
        self._thread.join()

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Note a change; `watchdog` calls this."""
        if event.event_type == "deleted" and event.is_directory:
            self._lost.add(str(event.src_path))
        # A folder is modified when something in it is, which tells of itself.
        if event.event_type not in _CHANGES or (
            event.is_directory and event.event_type in {"modified", "closed"}
        ):
            return
        names = [str(event.src_path), str(event.dest_path)]
        paths = [Path(name) for name in names if name and not _ASIDE.fullmatch(Path(name).name)]
        if not paths:
            return
        with self._lock:
            self._paths.update(self._as_given(path) for path in paths)
            self._is_whole |= event.is_directory or len(self._paths) > _BURST
        self._noticed.set()

    def _as_given(self, path: Path) -> Path:
        """A path below a watched folder as it was named, where that leads there by a link."""
        for given, found in self._folders.items():
            if found is not None and path.is_relative_to(found[1].path):
                return given / path.relative_to(found[1].path)
        return path

    def _run(self) -> None:
        self._noticed.set()
        told = -PACE_SECONDS
        while True:
            while not self._noticed.wait(LOOK_SECONDS):
                self._look()
            self._stopping.wait(max(0.0, told + PACE_SECONDS - monotonic()))
            self._settle()
            if self._stopping.is_set():
                return
            # Here as well: a folder may have gone and come back between two looks.
            self._look()
            with self._lock:
                self._noticed.clear()
                paths = None if self._is_whole else frozenset(self._paths)
                self._is_whole = False
                self._paths.clear()
            if paths is None or paths:
                told = monotonic()
                self._changed(paths)

    def _settle(self) -> None:
        """Return when it has been quiet for a moment, or never gets quiet."""
        end = monotonic() + LONGEST_SECONDS
        while not self._stopping.is_set() and monotonic() < end:
            self._noticed.clear()
            if not self._noticed.wait(QUIET_SECONDS):
                return

    def _look(self) -> None:
        """Follow folders that have gone, come or been put in another's place."""
        with self._lock:
            for path, found in self._folders.items():
                identity = _identity(path)
                if found is None and identity is None:
                    continue
                if found and found[0] == identity and found[1].path not in self._lost:
                    continue
                if found is not None:
                    self._observer.unschedule(found[1])
                self._folders[path] = self._begin(path)
                self._is_whole = True
                self._noticed.set()
            self._lost.clear()

    def _begin(self, path: Path) -> tuple[_Identity, ObservedWatch] | None:
        identity = _identity(path)
        if identity is None:
            return None
        try:
            # The folder itself, where the path leads to it by a link.
            return identity, self._observer.schedule(self, str(path.resolve()), recursive=True)
        except OSError:  # Gone in this very moment.
            return None


def _identity(path: Path) -> _Identity | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return (found.st_dev, found.st_ino) if path.is_dir() else None
