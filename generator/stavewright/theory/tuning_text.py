"""How a ratio of frequencies is written and read: `3/2`, `3:2`."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from stavewright.theory.errors import TheoryError

_RATIO: Final = re.compile(r"\s*(?P<top>[0-9]{1,12})\s*(?:[/:]\s*(?P<bottom>[0-9]{1,12}))?\s*")


def read_ratio(text: str) -> Fraction:
    """Read a ratio; raises TheoryError with a place."""
    match = _RATIO.fullmatch(text)
    if match is None:
        raise TheoryError("A just interval is a ratio of whole numbers, such as 3/2", text)
    top, bottom = int(match["top"]), int(match["bottom"] or 1)
    if not top or not bottom:
        raise TheoryError("A ratio of frequencies is greater than nothing", text)
    return Fraction(top, bottom)
