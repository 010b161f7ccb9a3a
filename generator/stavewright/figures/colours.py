"""Colours as an author types them: a name, or `#` and hexadecimal digits."""

import re
from difflib import get_close_matches
from typing import Final

_HEX: Final = re.compile(r"#(?:[0-9a-f]{3}|[0-9a-f]{6})")
_WORDS: Final = """
aqua azure beige black blue brown chocolate coral crimson darkblue darkgray darkgreen
darkred dimgray firebrick fuchsia gold gray green indigo ivory khaki lavender lightgray
lime linen maroon navy olive orange orchid pink plum purple red salmon sienna silver
skyblue slategray snow steelblue tan teal tomato turquoise violet white whitesmoke
yellow
"""
NAMES: Final = frozenset(_WORDS.split())
"""A choice of the names that CSS knows."""

_ALIKE: Final = 0.7
"""How like a name a slip must be: `none` is not meant for `orange`."""


def colour(text: str) -> str:
    """The colour as CSS writes it. Raises `ValueError` in words for the author."""
    plain = text.strip().lower().replace("grey", "gray")
    if plain in NAMES or _HEX.fullmatch(plain):
        return plain
    if _HEX.fullmatch(f"#{plain}"):
        raise ValueError(f"{text} lacks its #; did you mean #{plain}?")
    near = get_close_matches(plain, sorted(NAMES), 1, _ALIKE)
    perhaps = f"; did you mean {near[0]}?" if near else ""
    raise ValueError(f"{text!r} is no color: write a name, or one like #8a2f1d{perhaps}")
