"""The parts of a document: what stands in it, what can be folded, where a link leads."""

from dataclasses import dataclass

from stavewright.articles.article import Article, LinkKind
from stavewright.editors.document import Document
from stavewright.editors.library import Surroundings
from stavewright.editors.spans import holds
from stavewright.notation.source import Span


@dataclass(frozen=True, slots=True)
class Part:
    """A heading with what belongs to it, or a music block."""

    name: str
    is_block: bool
    span: Span
    """The heading's words, or the opening fence."""
    last_line: int
    parts: "tuple[Part, ...]" = ()


@dataclass(frozen=True, slots=True)
class Destination:
    """Where a link leads."""

    path: str
    """Below the root of all links."""
    span: Span | None
    """The heading or term; None for the beginning of a file."""


def outline(document: Document) -> tuple[Part, ...]:
    """Headings and blocks, each below the heading that it belongs to."""
    end = len(document.texts)
    blocks = [
        (block.source.fence.line, _FIGURE, _block_part(document, index))
        for index, block in enumerate(document.article.blocks)
    ]
    headings = [
        (heading.span.line, heading.level, Part(heading.text, False, heading.span, end))
        for heading in document.article.headings
    ]
    entries = sorted([*headings, *blocks], key=lambda entry: entry[0])
    return _nested(entries, end)


_FIGURE = 7
"""The level of a block: below every heading."""


def _nested(entries: list[tuple[int, int, Part]], end: int) -> tuple[Part, ...]:
    found: list[Part] = []
    while entries:
        _, level, part = entries.pop(0)
        inner = []
        while entries and entries[0][1] > level:
            inner.append(entries.pop(0))
        last = part.last_line if part.is_block else (entries[0][0] - 1 if entries else end)
        parts = _nested(inner, last)
        found.append(Part(part.name, part.is_block, part.span, last, parts))
    return tuple(found)


def _block_part(document: Document, index: int) -> Part:
    block = document.article.blocks[index]
    name = block.score.title or f"Figure {index + 1}"
    last = min(document.end_of(block), len(document.texts))
    return Part(name, True, block.source.fence, last)


def folds(document: Document) -> tuple[tuple[int, int], ...]:
    """The first and last lines of what can be folded: front matter, sections, blocks."""
    found = [(1, end)] if (end := _front_end(document)) else []
    waiting = list(outline(document))
    while waiting:
        part = waiting.pop(0)
        waiting += part.parts
        if part.last_line > part.span.line:
            found.append((part.span.line, part.last_line))
    return tuple(sorted(found))


def _front_end(document: Document) -> int:
    if not document.article.has_front_matter:
        return 0
    lines = range(2, len(document.texts) + 1)
    return next((line for line in lines if document.line(line).rstrip() == "---"), 0)


def destination(
    document: Document, around: Surroundings, line: int, column: int
) -> Destination | None:
    """Where the link at a place leads; None where there is none, or it leads nowhere."""
    links = zip(document.article.links, document.article.reaches, strict=True)
    for link, path in links:
        if not holds(link.span, line, column):
            continue
        if link.kind is LinkKind.TERM:
            return _term(around, link.target)
        if link.kind is not LinkKind.OUTSIDE and path is not None:
            article = around.articles.get(path)
            return Destination(path, _anchor(article, link.anchor) if article else None)
    return None


def _term(around: Surroundings, slug: str) -> Destination | None:
    for path, article in around.articles.items():
        for term in article.terms:
            if term.slug == slug:
                return Destination(path, term.span)
    return None


def _anchor(article: Article, anchor: str) -> Span | None:
    places = [(heading.anchor, heading.span) for heading in article.headings]
    places += [(term.slug, term.span) for term in article.terms]
    return next((span for name, span in places if name == anchor), None)
