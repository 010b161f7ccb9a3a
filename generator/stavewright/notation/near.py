"""Near words: what the author probably meant to type."""

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST = 40
"""Longer words are no slip of the finger, and comparing them is slow."""


def near(word: str, known: Iterable[str], likeness: float = 0.6) -> str | None:
    """Give the known word that is most like `word`, or None where none is near."""
    if not word or len(word) > _LONGEST:
        return None
    choices = {choice.lower(): choice for choice in known}
    found = get_close_matches(word.lower(), choices, n=1, cutoff=likeness)
    return choices[found[0]] if found else None


def listed(words: Iterable[str]) -> str:
    """Words as a list in a sentence: `a, b and c`."""
    names = list(words)
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
