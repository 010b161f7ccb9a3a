"""Notes written as other notations write them, and what they are called here.

Nothing here is read as music; it only makes a finding say what was probably meant.
"""

import re
from typing import Final

_LETTER: Final = r"(?P<letter>[A-Ga-g])"
_SYLLABLE: Final = re.compile(
    _LETTER + r"(?P<sign>isis|is|eses|es|n|-?flat|-?sharp|-?natural)(?P<octave>\d)"
)
_HYPHEN: Final = re.compile(_LETTER + r"-(?P<octave>[2-9])")
"""`B-4` is B flat to those who type no flat sign. Octave -1 is a pitch; -2 and below are none."""
_OCTAVE_MARKS: Final = re.compile(r"[A-Ga-g](?:#|b|is|es)*(?:'+|,+)\d?")
_LOOSE_CENTS: Final = re.compile(
    r"(?P<name>[A-G][#b♯♭x]*)\((?P<cents>[+-]?\d{1,4})(?P<point>\.\d+)?\s*(?:c|ct|cents?|¢)?\)"
    r"(?P<octave>\d)"
)
_QUARTER: Final = re.compile(r"(?P<letter>[A-G])(?P<sign>d|qf|qs|hf|hs|\+|‡|𝄲|𝄳)(?P<octave>\d)")
"""Half-flats and half-sharps as signs of other ways to type them."""
_QUARTER_DOWN: Final = frozenset({"d", "qf", "hf", "𝄳"})
_OPEN_CENTS: Final = re.compile(
    r"(?P<name>[A-G][#b♯♭x]*)(?P<cents>[+-]\d{2,4})(?:c|ct|cents?|¢)(?P<octave>\d)"
)
_SIGNS: Final = {
    "isis": "##",
    "is": "#",
    "sharp": "#",
    "eses": "bb",
    "es": "b",
    "flat": "b",
    "n": "",
    "natural": "",
}


def other_spelling(word: str) -> tuple[str, str | None] | None:
    """Say how a note of another notation is written here: (message, the note); None of others."""
    if match := _SYLLABLE.fullmatch(word):
        sign = _SIGNS[match["sign"].lstrip("-")]
        message = "Sharps and flats are written as the signs # and b; a natural needs none"
        return message, match["letter"].upper() + sign + match["octave"]
    if match := _HYPHEN.fullmatch(word):
        return "A flat is written b", f"{match['letter'].upper()}b{match['octave']}"
    if _OCTAVE_MARKS.fullmatch(word):
        return "The octave is a number after the letter; middle C is C4", None
    if match := _QUARTER.fullmatch(word):
        cents = "-50" if match["sign"] in _QUARTER_DOWN else "+50"
        plain = f"{match['letter']}({cents}){match['octave']}"
        return "A quarter tone is written in cents, as in B(-50)4", plain
    if match := _OPEN_CENTS.fullmatch(word):
        plain = f"{match['name']}({match['cents']}){match['octave']}"
        return "Cents stand in parentheses and have no unit, as in B(-50)4", plain
    if match := _LOOSE_CENTS.fullmatch(word):
        if match["point"]:
            return "Cents are whole numbers with a sign, such as (-50)", None
        cents = match["cents"] if match["cents"][0] in "+-" else f"+{match['cents']}"
        plain = f"{match['name']}({cents}){match['octave']}"
        if plain != word:
            return "Cents carry a sign and no unit, as in B(-50)4", plain
    return None
