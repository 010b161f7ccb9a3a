"""Near words: what the author probably meant to type."""

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST_WORD = 40


def near(
    word: str, known: Iterable[str], likeness: float = 0.6, longest: int = _LONGEST_WORD
) -> str | None:
    """Give the known word that is most like `word`, or None where none is near.

    Case never counts against a word. What is longer than `longest` is no slip of the finger, and
    comparing it is slow.
    """
    if not word or len(word) > longest:
        return None
    choices = {choice.casefold(): choice for choice in sorted(known, reverse=True)}
    found = get_close_matches(word.casefold(), choices, n=1, cutoff=likeness)
    return choices[found[0]] if found else None


def listed(words: Iterable[str]) -> str:
    """Words as a list in a sentence: `a, b and c`."""
    names = list(words)
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
