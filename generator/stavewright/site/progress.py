"""Telling whoever waits how far a build is."""

from typing import Protocol


class Progress(Protocol):
    """Told of each stage; a bar on a terminal, or nothing."""

    def stage(self, name: str, total: int) -> None:
        """A stage begins, with so many things to do."""
        ...

    def advance(self, done: int = 1) -> None:
        """So many more of them are done."""
        ...


class Silent:
    """Says nothing."""

    def stage(self, name: str, total: int) -> None:
        """See `Progress`."""

    def advance(self, done: int = 1) -> None:
        """See `Progress`."""
