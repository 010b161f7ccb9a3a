"""The text for a video's description, with the addresses that the built site will have."""

from pathlib import Path

from stavewright.articles.describe import Description, compose
from stavewright.site.addresses import whole_address
from stavewright.site.content import shown_name
from stavewright.site.errors import CannotRunError
from stavewright.site.map import Page, place_all
from stavewright.site.project import Project, read_project
from stavewright.site.settings import SETTINGS_FILE


def describe_article(article: Path, content: Path) -> Description:
    """The description for an article, named from where the command runs or below the content.

    Raises `CannotRunError` if the site has no address yet, or no such article.
    """
    project = read_project(content)
    site = project.settings.address
    if site is None:
        raise CannotRunError(
            "a description is made of whole addresses, and the site has none yet; "
            f"write `address: https://…` into {content / SETTINGS_FILE}"
        )
    page = _page_of(article, content, project)
    address = whole_address(site, page.address)
    return compose(
        page.article,
        address,
        {heading.anchor: f"{address}#{heading.anchor}" for heading in page.article.headings},
        project.settings.description_limit,
        project.settings.disclosure,
    )


def _page_of(article: Path, content: Path, project: Project) -> Page:
    pairs = [(read, source.file) for read, source in project.articles]
    wanted = {article.resolve(), (content / article).resolve()}
    for page in place_all(pairs, project.content.files).pages:
        if (content / page.article.path).resolve() in wanted:
            return page
    raise CannotRunError(f"there is no article {shown_name(article)} in {content}")
