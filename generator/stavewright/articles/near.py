"""The nearest name among those that exist: paths and headings too, which are longer than words."""

from collections.abc import Iterable

from stavewright.notation.near import near

_LONGEST = 200


def nearest(word: str, known: Iterable[str], cutoff: float = 0.6) -> str | None:
    """The known name most like the one written; None where none is like it."""
    return near(word, known, cutoff, longest=_LONGEST)
