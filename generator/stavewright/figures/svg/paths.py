"""Path data in fewer letters, point for point the same."""

import re
from typing import Final

_LINE: Final = re.compile(r"M(-?[\d.]+) (-?[\d.]+) L(-?[\d.]+) (-?[\d.]+)")
_BEFORE_MINUS: Final = re.compile(r"(?<=\d) (?=-)")
_ROUND_LETTERS: Final = re.compile(r" ?([A-Za-z]) ?")


def shortened(data: str) -> str:
    """Path data without the separators that it does not need; `H` and `V` for a straight line."""
    line = _LINE.fullmatch(data)
    if line is not None:
        return _straight(*line.groups())
    data = data.replace(",", " ")
    return _BEFORE_MINUS.sub("", _ROUND_LETTERS.sub(r"\1", data)).strip()


def _straight(x1: str, y1: str, x2: str, y2: str) -> str:
    if y1 == y2:
        return f"M{x1} {y1}H{x2}"
    if x1 == x2:
        return f"M{x1} {y1}V{y2}"
    return f"M{x1} {y1}L{x2} {y2}"
