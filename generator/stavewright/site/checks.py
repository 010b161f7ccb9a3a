"""What is checked between the articles of a site, and between them and its settings."""

from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

from stavewright.articles.article import Article, Known, LinkKind
from stavewright.articles.near import nearest
from stavewright.notation.finding import Finding, Severity
from stavewright.site.errors import ThemeError
from stavewright.site.report import Checked
from stavewright.site.settings import Settings
from stavewright.site.themes import find_theme, theme_names


def links_to_drafts(article: Known, drafts: Collection[str]) -> Iterator[Finding]:
    """A published page cannot link to one that is not; `drafts` are the paths of those."""
    for link, path in zip(article.links, article.reaches, strict=True):
        if link.kind is LinkKind.ARTICLE and path in drafts:
            yield Finding(
                "link",
                Severity.ERROR,
                link.span,
                f"`{link.target}` is a draft, and drafts are not part of the site",
                reason="Readers would find nothing behind this link until the draft is finished.",
            )


def check_navigation(settings: Settings, paths: Collection[str]) -> Iterator[Finding]:
    """Each entry of the navigation names a page of the site."""
    for item in settings.navigation:
        if item.path and item.path not in paths:
            near = nearest(item.path, paths)
            yield Finding(
                "front-matter",
                Severity.ERROR,
                item.span,
                f"The navigation leads to `{item.path}`, and there is no such page",
                suggestion=near,
                reason="A path in the navigation is that of a Markdown file in the content folder.",
            )


def check_theme(settings: Settings, content: Path) -> Iterator[Finding]:
    """The theme that the settings name can be found and read."""
    try:
        find_theme(settings.theme, content)
    except ThemeError as error:
        words = str(error)
        near = nearest(settings.theme, theme_names())
        message = f"{words[0].upper()}{words[1:]}"
        yield Finding("front-matter", Severity.ERROR, settings.theme_span, message, near)


def count(articles: Sequence[Article]) -> Checked:
    """How much was looked at."""
    blocks = sum(len(article.blocks) for article in articles)
    claims = sum(len(article.claims) for article in articles)
    return Checked(len(articles), blocks, claims)
