"""What stands under the cursor, in words: a chord, a key, a numeral in its key, a word, a link."""

from dataclasses import dataclass

from stavewright.editors.document import Document
from stavewright.editors.hover_block import in_block
from stavewright.editors.hover_prose import in_prose
from stavewright.editors.library import Surroundings
from stavewright.notation.source import Span


@dataclass(frozen=True, slots=True)
class Hover:
    """What is said of a stretch of text."""

    span: Span
    markdown: str


def hover(document: Document, around: Surroundings, line: int, column: int) -> Hover | None:
    """What stands at a place (line and column from 1); None where there is nothing to say."""
    block = document.block_at(line)
    if block is None:
        found = in_prose(document, around, line, column)
    else:
        found = in_block(document, block, line, column)
    return Hover(*found) if found else None
