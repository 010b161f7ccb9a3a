"""What keeps a command from running at all; findings about content are values, never these."""

from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def working_on(what: str) -> Iterator[None]:
    """Note on any exception what was being worked on, so that a fault of ours can be located."""
    try:
        yield
    except Exception as error:
        error.add_note(what)
        raise


class CannotRunError(Exception):
    """A command cannot do its work; the message says why, and what to do about it."""


class ContentError(CannotRunError):
    """There is no content to read."""


class ThemeError(CannotRunError):
    """A theme cannot be found, read or used."""


class OutputError(CannotRunError):
    """The output folder may not be replaced."""


class PortError(CannotRunError):
    """The preview's port cannot be had."""
