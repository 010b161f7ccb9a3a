"""The text for a video's description, with the addresses that the built site will have."""

from pathlib import Path

from stavewright.articles.describe import Description, compose
from stavewright.articles.near import nearest
from stavewright.site.addresses import whole_address
from stavewright.site.content import shown_name
from stavewright.site.errors import CannotRunError
from stavewright.site.map import Page, place_all
from stavewright.site.project import Project, read_project
from stavewright.site.settings import SETTINGS_FILE, Settings


def describe_article(article: Path, content: Path) -> Description:
    """The description for an article, named from where the command runs or below the content.

    Raises `CannotRunError` if the site has no address yet, or no such article.
    """
    project = read_project(content)
    wanted = {article.resolve(), (content / article).resolve()}
    for page in pages_of(project):
        if (content / page.article.path).resolve() in wanted:
            return describe_page(page, project.settings)
    near = nearest(article.as_posix(), (source.path for source in project.content.articles))
    perhaps = f"; did you mean {shown_name(content / near)}?" if near else ""
    raise CannotRunError(f"there is no article {shown_name(article)} in {content}{perhaps}")


def pages_of(project: Project) -> tuple[Page, ...]:
    """The articles at their addresses, drafts among them: a video may be uploaded first."""
    pairs = [(article, source.file) for article, source in project.articles]
    return place_all(pairs, project.content.files).pages


def describe_page(page: Page, settings: Settings) -> Description:
    """The description for one page. Raises `CannotRunError` if the site has no address yet."""
    if settings.address is None:
        raise CannotRunError(
            "a description is made of whole addresses, and the site has none yet; "
            f"write `address: https://…` into {SETTINGS_FILE}"
        )
    address = whole_address(settings.address, page.address)
    return compose(
        page.article,
        address,
        {heading.anchor: f"{address}#{heading.anchor}" for heading in page.article.headings},
        settings.description_limit,
        settings.disclosure,
    )
