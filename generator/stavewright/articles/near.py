"""The nearest name among those that exist: paths and headings too, which are longer than words."""

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST = 200
"""Longer texts are no name, and comparing them is slow."""


def nearest(word: str, known: Iterable[str], cutoff: float = 0.6) -> str | None:
    """The known name most like the one written; None where none is like it.

    Case never counts against a name.
    """
    if not word or len(word) > _LONGEST:
        return None
    by_folded = {name.casefold(): name for name in sorted(known, reverse=True)}
    close = get_close_matches(word.casefold(), by_folded, n=1, cutoff=cutoff)
    return by_folded[close[0]] if close else None
