"""A build's progress as a bar on the terminal."""

from types import TracebackType
from typing import Self

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TaskID, TextColumn


class ProgressBar:
    """One bar that is used for each stage in turn, and wiped away at the end."""

    def __init__(self) -> None:
        # On standard error, so that what a command prints can be piped. Rich minds NO_COLOR.
        self._bar = Progress(
            TextColumn("{task.description:<8}"),
            BarColumn(),
            MofNCompleteColumn(),
            console=Console(stderr=True),
            transient=True,
        )
        self._task: TaskID | None = None

    def stage(self, name: str, total: int) -> None:
        """See `Progress`."""
        if self._task is not None:
            self._bar.remove_task(self._task)
        self._task = self._bar.add_task(name, total=total)

    def advance(self, done: int = 1) -> None:
        """See `Progress`."""
        if self._task is not None:
            self._bar.advance(self._task, done)

    def __enter__(self) -> Self:
        self._bar.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._bar.stop()
