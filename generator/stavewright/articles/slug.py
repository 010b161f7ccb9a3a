"""Names fit for an address: the anchor of a heading, the key of a glossary term.

A slug is printed in video descriptions and linked from elsewhere for years, so the rule never
changes: the same words give the same slug in every version.
"""

import re
import unicodedata
from functools import lru_cache

# A sharp or flat is a word in an address, where `#` and `♯` would be lost or misread.
_SIGNS = (
    ("𝄪", " double sharp "),
    ("𝄫", " double flat "),
    ("♯", " sharp "),
    ("♭", " flat "),
    ("♮", " natural "),
)
_ASCII_SHARP = re.compile(r"(?<![^\W\d_])([A-G])(#{1,2})(?![\w#])")
_ASCII_FLAT = re.compile(r"(?<![^\W\d_])([A-G])(b{1,2})(?!\w)")
_SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
"""What comes out as it went in: the names of most files."""
_APOSTROPHE = re.compile(r"(?<=\w)['’](?=\w)")


def _spell_sharp(match: re.Match[str]) -> str:
    return f"{match[1]} {'double ' if len(match[2]) == 2 else ''}sharp "


def _spell_flat(match: re.Match[str]) -> str:
    return f"{match[1]} {'double ' if len(match[2]) == 2 else ''}flat "


@lru_cache(maxsize=1 << 12)  # the same few terms are linked from everywhere
def slugify(text: str) -> str:
    """Lower-case words joined by hyphens, `G# major` as `g-sharp-major`; empty for no letters.

    Accents on Latin letters are dropped; letters of other scripts stay as they are.
    """
    if _SLUG.fullmatch(text):
        return text
    for sign, words in _SIGNS:
        text = text.replace(sign, words)
    text = _ASCII_FLAT.sub(_spell_flat, _ASCII_SHARP.sub(_spell_sharp, text))
    text = _APOSTROPHE.sub("", text)
    plain = _without_accents(text).casefold()
    kept = "".join(letter if _is_of_a_word(letter) else " " for letter in plain)
    return "-".join(word for word in map(_from_first_letter, kept.split()) if word)


def is_anchor(text: str) -> bool:
    """Whether a text can be an anchor: letters, digits, hyphens and low lines, no sign first."""
    kept = all(_is_of_a_word(letter) or letter in "-_" for letter in text)
    return kept and text[:1].isalnum()


def _is_of_a_word(letter: str) -> bool:
    """Letters, digits, and the marks that letters of many scripts cannot do without."""
    return letter.isalnum() or unicodedata.category(letter).startswith("M")


def _from_first_letter(word: str) -> str:
    """A word without marks that have no letter to stand on."""
    return next((word[at:] for at, letter in enumerate(word) if letter.isalnum()), "")


def _without_accents(text: str) -> str:
    if text.isascii():
        return text
    kept: list[str] = []
    for letter in unicodedata.normalize("NFKC", text):
        base = unicodedata.normalize("NFD", letter)
        if base[0].isascii():
            kept.append("".join(c for c in base if unicodedata.category(c) != "Mn"))
        else:
            kept.append(letter)
    return "".join(kept)
