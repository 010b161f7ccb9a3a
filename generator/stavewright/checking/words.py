"""Small change of the messages: numbers, lists and notes in words."""

from collections.abc import Iterable

_COUNTS = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen"),
)
DEGREE_WORDS = {
    1: "root",
    2: "second",
    3: "third",
    4: "fourth",
    5: "fifth",
    6: "sixth",
    7: "seventh",
    9: "ninth",
    11: "eleventh",
    13: "thirteenth",
}
"""What the tone of a number is called in a chord."""


def count_word(count: int) -> str:
    """`three` for 3; figures from 17 on."""
    return _COUNTS[count] if 0 <= count < len(_COUNTS) else str(count)


def counted(count: int, one: str, many: str | None = None) -> str:
    """`one note`, `three notes`, `no notes`."""
    return f"{count_word(count)} {one if count == 1 else many or one + 's'}"


def listed(words: Iterable[str], joint: str = "and") -> str:
    """Words as a list in a sentence: `C, E and G`."""
    names = list(words)
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {joint} {names[-1]}"


def article(word: str) -> str:
    """The word with `a` or `an` before it, as it is said: `an A`, `an eighth`, `a C`."""
    vowel = word[:1] in "aeiouAEF" and not word.startswith(("uni", "one"))
    return f"{'an' if vowel else 'a'} {word}"
