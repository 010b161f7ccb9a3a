"""The text for a video's description, with the addresses that the built site will have."""

from pathlib import Path

from stavewright.articles.article import Article
from stavewright.articles.describe import Description, compose
from stavewright.site.addresses import whole_address
from stavewright.site.errors import CannotRunError
from stavewright.site.one_article import find_article
from stavewright.site.settings import SETTINGS_FILE, Settings


def describe_article(article: Path, content: Path) -> Description:
    """The description for an article, named from where the command runs or below the content.

    Raises `CannotRunError` if the site has no address yet, or no such article.
    """
    found = find_article(article, content)
    return describe_at(found.article, found.address, found.project.settings)


def describe_at(article: Article, address: str, settings: Settings) -> Description:
    """The description for an article at its address below the site's root.

    Raises `CannotRunError` if the site has no address yet.
    """
    if settings.address is None:
        raise CannotRunError(
            "a description is made of whole addresses, and the site has none yet; "
            f"write `address: https://…` into {SETTINGS_FILE}"
        )
    whole = whole_address(settings.address, address)
    return compose(
        article,
        whole,
        {heading.anchor: f"{whole}#{heading.anchor}" for heading in article.headings},
        settings.description_limit,
        settings.disclosure,
    )
