"""A document that is open in an editor, read, with what every question about it needs."""

import re
from dataclasses import dataclass, field
from pathlib import Path

from stavewright.articles.article import Article
from stavewright.articles.check import check_article
from stavewright.articles.lines import Lines
from stavewright.articles.read import read_article
from stavewright.notation import Block
from stavewright.notation.finding import Finding

_FENCE = re.compile(r"(?P<before>[\s>]*)(?P<fence>`{3,}|~{3,})")


@dataclass(frozen=True, slots=True)
class Document:
    """One Markdown file as its author sees it now."""

    place: Path
    """Where it lies, or will lie when it is saved."""
    texts: tuple[str, ...]
    """Its lines, without their ends."""
    article: Article
    findings: tuple[Finding, ...] = field(compare=False)
    """What is found in it by itself; links need its neighbours."""

    @classmethod
    def read(cls, place: Path, path: str, text: str, *, raw_html: bool = False) -> "Document":
        """Read and check a text; `path` is its place below the content folder."""
        article = read_article(path, text, path, raw_html=raw_html)
        return cls(place, Lines.of(text, path).texts, article, check_article(article))

    def line(self, number: int) -> str:
        """A line by its number from 1; empty beyond the end."""
        return self.texts[number - 1] if 0 < number <= len(self.texts) else ""

    def block_at(self, line: int) -> Block | None:
        """The music block whose lines hold this one, its fences not counted."""
        for block in self.article.blocks:
            opening = block.source.fence.line
            if opening < line and line < self.end_of(block):
                return block
        return None

    def end_of(self, block: Block) -> int:
        """The line of a block's closing fence; one beyond the last line where it has none."""
        opening = block.source.fence.line
        match = _FENCE.search(self.line(opening))
        mark = match["fence"] if match else "```"
        for number in range(opening + 1, len(self.texts) + 1):
            match = _FENCE.match(self.line(number))
            if match and match["fence"].startswith(mark):
                return number
        return len(self.texts) + 1

    def begins_at(self, block: Block, line: int) -> int:
        """The column where the block's own text begins in a line, from 1."""
        for source in block.source.lines:
            if source.line == line:
                return source.column
        # A line that is only being written; it begins where its neighbours do.
        first = block.source.lines[0].column if block.source.lines else 1
        return min(first, len(self.line(line)) + 1)
