"""What kind of line of a block a place is on, also while the line is still being written."""

import re
from dataclasses import dataclass
from typing import Final

from stavewright.editors.document import Document
from stavewright.notation import Block
from stavewright.notation.vocabulary import FIELD_NAMES

_OPENING: Final = re.compile(r"(?P<word>[^\W\d_][\w-]*)(?:\([^()]*\))?[ \t]*:[ \t]*")


@dataclass(frozen=True, slots=True)
class BlockLine:
    """A line of a block."""

    word: str
    """The word that opens it, or the line that it continues; empty where there is none."""
    column: int
    """Where the block's own text begins, from 1."""
    value_column: int
    """Where its value begins."""
    is_continued: bool
    """Whether it continues a line above."""

    @property
    def is_timed(self) -> bool:
        """Whether it holds events."""
        return bool(self.word) and self.word not in FIELD_NAMES


def block_line(document: Document, block: Block, line: int) -> BlockLine | None:
    """The line of a block with this number; None where it opens with no word."""
    column = document.begins_at(block, line)
    text = document.line(line)[column - 1 :]
    if match := _OPENING.match(text):
        return BlockLine(match["word"], column, column + match.end(), is_continued=False)
    if text[:1] in {" ", "\t"}:
        for above in range(line - 1, block.source.fence.line, -1):
            begins = document.begins_at(block, above)
            if match := _OPENING.match(document.line(above)[begins - 1 :]):
                return BlockLine(match["word"], column, column, is_continued=True)
    return None


def value_before(document: Document, block: Block, line: int, column: int) -> str:
    """The value of a line as far as a place, with what it continues, joined by spaces."""
    written = block_line(document, block, line)
    if written is None:
        return ""
    text = document.line(line)[written.value_column - 1 : column - 1]
    if written.is_continued and line - 1 > block.source.fence.line:
        above = document.line(line - 1)
        return f"{value_before(document, block, line - 1, len(above) + 1)} {text.lstrip()}"
    return text
