"""A value of a block: text that may run over several lines, with the place of every character.

Readers work on `text`, in which lines are joined by a line feed; `span` says where a stretch of it
stands in the author's file. Typographers' quotes and minus signs are read as the plain ones, one
character for one, so places stay what they are; `written` keeps what the author typed.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from stavewright.notation.source import SourceLine, Span

PLAIN_SIGNS = str.maketrans(
    {
        "\u201c": '"',
        "\u201d": '"',
        "\u201e": '"',
        "\u2033": '"',
        "\u2018": "'",
        "\u2019": "'",
        "\u2212": "-",
        "\u2010": "-",
        "\u2011": "-",
        "\u2013": "-",
        "\u00a0": " ",
        "\t": " ",
    }
    | dict.fromkeys("\u2002\u2003\u2007\u2008\u2009\u200a\u202f\u3000", " ")
)
"""What word processors make of plain signs."""


def plain(text: str) -> str:
    """Text with plain signs, one for one."""
    # Nearly all text has no others, and a look is quicker than a translation.
    return text if text.isascii() and "\t" not in text else text.translate(PLAIN_SIGNS)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of one source line."""

    line: SourceLine
    start: int
    end: int


class Passage:
    """Some stretches of source read as one text."""

    __slots__ = ("_columns", "_ends", "_file", "_lines", "_offsets", "text", "written")

    def __init__(self, file: str, stretches: Sequence[Stretch], joint: str = "\n") -> None:
        parts = [piece.line.text[piece.start : piece.end] for piece in stretches]
        self.written = joint.join(parts)
        self.text = plain(self.written)
        self._file = file
        self._offsets = [0]
        for part in parts[:-1]:
            self._offsets.append(self._offsets[-1] + len(part) + len(joint))
        self._ends = [at + len(part) for at, part in zip(self._offsets, parts, strict=True)]
        self._lines = [piece.line.line for piece in stretches]
        self._columns = [
            piece.line.column + piece.start - at
            for at, piece in zip(self._offsets, stretches, strict=True)
        ]
        """The file's column of each stretch, less its offset in the text."""

    def span(self, start: int, end: int) -> Span:
        """Where `text[start:end]` stands: its part on the line where it begins."""
        offsets = self._offsets
        at = bisect_right(offsets, start) - 1 if len(offsets) > 1 else 0
        limit = self._ends[at]
        if end > limit:
            start, end = min(start, limit), limit
        column = self._columns[at]
        return Span(self._file, self._lines[at], start + column, max(start, end) + column)

    @property
    def whole(self) -> Span:
        """All of it, or of its first line where there are several."""
        return self.span(0, len(self.text))

    @property
    def words(self) -> str:
        """The text as written, its lines joined by spaces."""
        return " ".join(self.written.split())
