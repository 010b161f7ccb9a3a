"""Watching folders: one call when something in them changed and then stayed quiet for a moment."""

from collections.abc import Callable, Iterable
from pathlib import Path
from threading import Event, Lock, Thread

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer
from watchdog.observers.api import ObservedWatch

QUIET_SECONDS = 0.15
"""Editors save in several steps (write aside, rename, set times); this waits for the last."""
LOOK_SECONDS = 0.5
"""How often the folders themselves are looked for.

A watch goes with its folder: one that is moved away, deleted or put back tells nobody.
"""

# Opening and closing without writing are events too; building causes plenty of those.
_CHANGES = {"created", "modified", "deleted", "moved", "closed"}

_Identity = tuple[int, int]
"""Device and number of a folder: whether it is still the same one."""


class Watcher(FileSystemEventHandler):
    """Calls `changed` in a thread of its own after changes below the watched folders."""

    def __init__(self, changed: Callable[[], None]) -> None:
        super().__init__()
        self._changed = changed
        self._noticed = Event()
        self._stopping = Event()
        self._observer = Observer()
        self._lock = Lock()
        self._folders: dict[Path, tuple[_Identity, ObservedWatch] | None] = {}
        self._lost: set[str] = set()
        """Folders that were deleted: one made in their place may have the same number."""
        self._thread = Thread(target=self._run, name="preview-watcher", daemon=True)

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
        if event.event_type in _CHANGES and not Path(str(event.src_path)).name.endswith("~"):
            self._noticed.set()

    def _run(self) -> None:
        while True:
            while not self._noticed.wait(LOOK_SECONDS):
                self._look()
            while not self._stopping.is_set():
                self._noticed.clear()
                if not self._noticed.wait(QUIET_SECONDS):
                    break
            if self._stopping.is_set():
                return
            # Here as well: a folder may have gone and come back between two looks.
            self._look()
            self._noticed.clear()
            self._changed()

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
