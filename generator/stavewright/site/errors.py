"""What keeps a command from running at all; findings about content are values, never these."""


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
