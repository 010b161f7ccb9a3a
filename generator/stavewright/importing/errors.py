"""The one error of this room."""


class CannotImportError(Exception):
    """The file or the excerpt cannot be brought in; says why and what would work."""
