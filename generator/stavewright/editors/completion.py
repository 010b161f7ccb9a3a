"""What could be written at a place: words, names and addresses, each with what it means."""

from stavewright.editors.document import Document
from stavewright.editors.suggest import Completion
from stavewright.editors.suggest_block import in_block
from stavewright.editors.suggest_prose import Reach, in_prose


def complete(document: Document, reach: Reach, line: int, column: int) -> tuple[Completion, ...]:
    """What could be written at a place (line and column from 1)."""
    block = document.block_at(line)
    if block is not None:
        return in_block(document, block, line, column)
    return in_prose(document, reach, line, column)
