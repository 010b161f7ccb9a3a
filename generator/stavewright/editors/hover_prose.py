"""What stands under the cursor in the prose: a claim, a link, a field of the front matter."""

from collections.abc import Iterator

from stavewright.articles.article import Article, Link, LinkKind
from stavewright.editors.answers import of_meaning
from stavewright.editors.document import Document
from stavewright.editors.front_fields import FRONT_FIELDS, in_front_matter
from stavewright.editors.library import Surroundings
from stavewright.editors.spans import holds, word_at
from stavewright.editors.words import code, escaped
from stavewright.notation.source import Span

_Found = tuple[Span, str]


def in_prose(document: Document, around: Surroundings, line: int, column: int) -> _Found | None:
    """The stretch under a place outside the blocks and what it is; None where nothing is known."""
    for found in _all(document, around, line, column):
        if found[1]:
            return found
    return None


def _all(document: Document, around: Surroundings, line: int, column: int) -> Iterator[_Found]:
    for claim in document.article.claims:
        if claim.statement and claim.statement_span and holds(claim.statement_span, line, column):
            yield claim.statement_span, of_meaning(claim.statement) or ""
        if claim.subject and claim.span.line == line and holds(claim.span, line, column):
            yield claim.span, of_meaning(claim.subject) or ""
    links = zip(document.article.links, document.article.reaches, strict=True)
    for link, path in links:
        if holds(link.span, line, column):
            yield link.span, _of_link(link, path, around)
    yield from _front(document, line, column)


def _front(document: Document, line: int, column: int) -> Iterator[_Found]:
    """A field of the front matter, at its word."""
    start, end = word_at(document.line(line), column)
    word = document.line(line)[start - 1 : end - 1]
    about = dict(FRONT_FIELDS).get(word)
    if start == 1 and about and in_front_matter(document, line):
        yield Span(document.article.path, line, start, end), f"**{word}**: {about}"


def _of_link(link: Link, path: str | None, around: Surroundings) -> str:
    if link.kind is LinkKind.TERM:
        name = (around.index.terms or {}).get(link.target)
        return f"**{escaped(name)}**: a term of the glossary" if name else ""
    article = around.articles.get(path or "")
    if article is None:
        return ""
    heading = _heading(article, link.anchor)
    title = f"**{escaped(article.front.title)}**" + (f": {escaped(heading)}" if heading else "")
    summary = f"\n\n{escaped(article.front.summary)}" if article.front.summary else ""
    return f"{title}{summary}\n\n{code(article.path)}"


def _heading(article: Article, anchor: str) -> str:
    return next((each.text for each in article.headings if each.anchor == anchor), "")
