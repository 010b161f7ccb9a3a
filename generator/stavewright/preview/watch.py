"""Watching folders: one call when something in them changed and then stayed quiet for a moment."""

from collections.abc import Callable, Iterable
from pathlib import Path
from threading import Event, Thread

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer

QUIET_SECONDS = 0.15
"""Editors save in several steps (write aside, rename, set times); this waits for the last."""

# Opening and closing without writing are events too; building causes plenty of those.
_CHANGES = {"created", "modified", "deleted", "moved", "closed"}


class Watcher(FileSystemEventHandler):
    """Calls `changed` in a thread of its own after changes below the watched folders."""

    def __init__(self, changed: Callable[[], None]) -> None:
        super().__init__()
        self._changed = changed
        self._noticed = Event()
        self._stopping = Event()
        self._observer = Observer()
        self._watched: set[Path] = set()
        self._thread = Thread(target=self._run, name="preview-watcher", daemon=True)

    def watch(self, folders: Iterable[Path]) -> None:
        """Watch these folders as well; one that does not exist is passed over."""
        for folder in folders:
            resolved = folder.resolve()
            known = any(resolved.is_relative_to(watched) for watched in self._watched)
            if not known and resolved.is_dir():
                self._observer.schedule(self, str(resolved), recursive=True)
                self._watched.add(resolved)

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
        if event.event_type in _CHANGES and not Path(str(event.src_path)).name.endswith("~"):
            self._noticed.set()

    def _run(self) -> None:
        while True:
            self._noticed.wait()
            while not self._stopping.is_set():
                self._noticed.clear()
                if not self._noticed.wait(QUIET_SECONDS):
                    break
            if self._stopping.is_set():
                return
            self._changed()
