"""Path data in fewer letters, point for point the same.

The engraver writes whole numbers and absolute places. Straight lines are written by their length:
stems and ledger lines are alike all over a drawing, and what is alike packs well.
"""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

_LINE: Final = re.compile(r"M(-?\d+) (-?\d+) L(-?\d+) (-?\d+)")
_BEFORE_MINUS: Final = re.compile(r"(?<=\d) (?=-)")
_COMMAND: Final = re.compile(r"([A-Za-z]) ?([^A-Za-z]*)")
_REPEATABLE: Final = frozenset("CcSsQqTtLlHhVv")
"""Commands whose letter may be left out where the same one follows; a second `M` is no move."""


def shortened(data: str) -> str:
    """Path data without the separators that it does not need, straight lines by their length."""
    line = _LINE.fullmatch(data)
    if line is None:
        return "".join(_commands(data.replace(",", " ")))
    x1, y1, x2, y2 = line.groups()
    if y1 == y2:
        return f"M{x1} {y1}h{int(x2) - int(x1)}"
    return f"M{x1} {y1}v{int(y2) - int(y1)}" if x1 == x2 else f"M{x1} {y1}L{x2} {y2}"


def _commands(data: str) -> Iterator[str]:
    last = ""
    for letter, numbers in _COMMAND.findall(data):
        numbers = _BEFORE_MINUS.sub("", numbers.strip())
        if letter != last or letter not in _REPEATABLE:
            yield letter
        elif not numbers.startswith("-"):
            yield " "
        yield numbers
        last = letter


def joined(lines: Sequence[tuple[int, int, int]]) -> str:
    """Path data of level lines one after another, each told from the end of the one before.

    A line is the x of its beginning, its y, and the x of its end.
    """
    x1, y1, x2 = lines[0]
    data = f"M{x1} {y1}h{x2 - x1}"
    end = x2
    for (_, before, _), (x1, y1, x2) in pairwise(lines):
        data += f"m{x1 - end} {y1 - before}h{x2 - x1}"
        end = x2
    return data
