"""Checks a whole article by itself; its links need the other articles, see `links.check_links`."""

from collections.abc import Iterator
from dataclasses import dataclass

from stavewright.articles.article import Article
from stavewright.checking.check import check_block
from stavewright.checking.claims import check_claim
from stavewright.notation.finding import Finding, in_order


@dataclass(frozen=True, slots=True)
class ArticleFindings:
    """What is found in an article, by where it was looked for."""

    own: tuple[Finding, ...]
    """Of the front matter and the Markdown."""
    blocks: tuple[tuple[Finding, ...], ...]
    """Of each music block."""
    claims: tuple[tuple[Finding, ...], ...]
    """Of each claim."""

    @property
    def all(self) -> tuple[Finding, ...]:
        """All of them, in order."""
        return in_order(self._all())

    def _all(self) -> Iterator[Finding]:
        yield from self.own
        for findings in (*self.blocks, *self.claims):
            yield from findings


def find_in(article: Article) -> ArticleFindings:
    """Check an article's music and claims; what reading it found comes along."""
    return ArticleFindings(
        article.findings,
        tuple(tuple(check_block(block)) for block in article.blocks),
        tuple(tuple(check_claim(claim)) for claim in article.claims),
    )


def check_article(article: Article) -> tuple[Finding, ...]:
    """What is found in its front matter and Markdown, in its music and in its claims."""
    return find_in(article).all
