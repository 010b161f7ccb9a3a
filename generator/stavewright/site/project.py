"""A content folder understood: its settings and articles, before anything is built from them."""

from dataclasses import dataclass
from pathlib import Path

from stavewright.articles.article import Article
from stavewright.articles.read import read_bytes
from stavewright.notation.finding import Finding
from stavewright.site.content import Content, Source, read_content
from stavewright.site.settings import Settings, read_settings


@dataclass(frozen=True, slots=True)
class Project:
    """What the author wrote."""

    content: Content
    settings: Settings
    articles: tuple[tuple[Article, Source], ...]
    """Drafts included, sorted by path."""
    findings: tuple[Finding, ...]
    """About the folder and the settings; articles carry their own."""


def read_project(folder: Path) -> Project:
    """Read a content folder. Raises `CannotRunError` where there is none."""
    content = read_content(folder)
    settings, findings = settings_of(content)
    articles = tuple((read_text(source, settings), source) for source in content.articles)
    return Project(content, settings, articles, (*content.findings, *findings))


def settings_of(content: Content) -> tuple[Settings, tuple[Finding, ...]]:
    """The settings of a content folder, or the defaults, and what is wrong with them."""
    if content.settings is None:
        return Settings(), ()
    return read_settings(content.settings.text, content.settings.file)


def read_text(source: Source, settings: Settings) -> Article:
    """The article that a file holds."""
    return read_bytes(source.path, source.data, source.file, raw_html=settings.raw_html)
