"""One article of a site, named by the author on the command line."""

from dataclasses import dataclass
from pathlib import Path

from stavewright.articles.article import Article
from stavewright.articles.near import nearest
from stavewright.site.content import shown_name
from stavewright.site.errors import CannotRunError
from stavewright.site.map import place_all
from stavewright.site.project import Project, read_project


@dataclass(frozen=True, slots=True)
class OneArticle:
    """An article at its place in the site."""

    project: Project
    article: Article
    address: str
    """Below the site's root."""


def find_article(article: Path, content: Path) -> OneArticle:
    """The article named from where the command runs or below the content; drafts too.

    Raises `CannotRunError` if there is none, with the nearest name.
    """
    project = read_project(content)
    wanted = {article.resolve(), (content / article).resolve()}
    for found, address in placed_in(project):
        if (content / found.path).resolve() in wanted:
            return OneArticle(project, found, address)
    near = nearest(article.as_posix(), (source.path for source in project.content.articles), 0.7)
    perhaps = f"; did you mean {shown_name(content / near)}?" if near else ""
    raise CannotRunError(f"there is no article {shown_name(article)} in {content}{perhaps}")


def placed_in(project: Project) -> tuple[tuple[Article, str], ...]:
    """The articles with their addresses, drafts among them: a video may be uploaded first."""
    pairs = [(article, source.file) for article, source in project.articles]
    placed = place_all(pairs, project.content.files).pages
    addresses = {page.article.path: page.address for page in placed}
    return tuple((it, addresses[it.path]) for it, _ in project.articles if it.path in addresses)
