"""Small numbers as words, as players count them."""

from __future__ import annotations

from typing import Final

_WORDS: Final = (
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
)

NUMBERS: Final = {word: number for number, word in enumerate(_WORDS, 1)}
"""The number that each word stands for, from one to sixteen."""


def number_words(number: int) -> str:
    """Write `one` to `sixteen`; figures past that."""
    return _WORDS[number - 1] if 0 < number <= len(_WORDS) else str(number)
