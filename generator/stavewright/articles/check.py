"""Checks a whole article by itself; its links need the other articles, see `links.check_links`."""

from collections.abc import Iterator

from stavewright.articles.article import Article
from stavewright.checking.check import check_block
from stavewright.checking.claims import check_claim
from stavewright.notation.finding import Finding, in_order


def check_article(article: Article) -> tuple[Finding, ...]:
    """What is found in its front matter and Markdown, in its music and in its claims."""
    return in_order(_all(article))


def _all(article: Article) -> Iterator[Finding]:
    yield from article.findings
    for block in article.blocks:
        yield from check_block(block)
    for claim in article.claims:
        yield from check_claim(claim)
