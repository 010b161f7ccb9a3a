"""Syllables as both formats write them: some programs leave the hyphen or the line in the text."""

from typing import Final

from stavewright.importing.model import Sung

ELISION: Final = "\u203f"
"""Between two syllables that are sung on one note."""


def sung(verse: int, words: str, *, joined: bool = False, held: bool = False) -> Sung:
    """A syllable without the hyphen or the line that follows it; a lone sign is kept."""
    text = words.rstrip("-\u2010\u2011").strip() or words
    hyphen = joined or (text != words.strip() and not held)
    plain = text.rstrip("_") or text
    return Sung(verse, plain, hyphen, held or plain != text)
