"""The text for a video's description, with the addresses that the built site will have."""

from pathlib import Path

from stavewright.articles.article import Article
from stavewright.articles.describe import Description, compose
from stavewright.articles.near import nearest
from stavewright.site.addresses import whole_address
from stavewright.site.content import shown_name
from stavewright.site.errors import CannotRunError
from stavewright.site.map import place_all
from stavewright.site.project import Project, read_project
from stavewright.site.settings import SETTINGS_FILE, Settings


def describe_article(article: Path, content: Path) -> Description:
    """The description for an article, named from where the command runs or below the content.

    Raises `CannotRunError` if the site has no address yet, or no such article.
    """
    project = read_project(content)
    wanted = {article.resolve(), (content / article).resolve()}
    for found, address in placed_in(project):
        if (content / found.path).resolve() in wanted:
            return describe_at(found, address, project.settings)
    near = nearest(article.as_posix(), (source.path for source in project.content.articles))
    perhaps = f"; did you mean {shown_name(content / near)}?" if near else ""
    raise CannotRunError(f"there is no article {shown_name(article)} in {content}{perhaps}")


def placed_in(project: Project) -> tuple[tuple[Article, str], ...]:
    """The articles with their addresses, drafts among them: a video may be uploaded first."""
    pairs = [(article, source.file) for article, source in project.articles]
    placed = place_all(pairs, project.content.files).pages
    addresses = {page.article.path: page.address for page in placed}
    return tuple((it, addresses[it.path]) for it, _ in project.articles if it.path in addresses)


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
