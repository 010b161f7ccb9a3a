"""What goes from stage to stage: each value holds the one before it and adds to it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from stavewright.articles.article import Article
from stavewright.figures.figure import Engraver, Figure
from stavewright.notation.finding import Finding
from stavewright.site.content import Content
from stavewright.site.map import Page, SiteMap
from stavewright.site.progress import Progress, Silent
from stavewright.site.report import Checked
from stavewright.site.settings import Settings
from stavewright.site.themes import Theme
from stavewright.site.write import OutputFile

BlockKey = tuple[str, int]
"""A music block: its article's path, and its index there."""


@dataclass(frozen=True, slots=True)
class Options:
    """How to build."""

    keep_going: bool = False
    """Build the rest in spite of errors, and show them where they are."""
    drafts: bool = False
    theme: str | None = None
    """Instead of the settings' own; a path is relative to where the command runs."""
    root: str | None = None
    """The path of the site's root on its host, instead of the one in the site's address."""
    places: bool = False
    """Let elements say on which line of the author's file they begin; for the preview."""


@dataclass(frozen=True, slots=True)
class Tools:
    """What a build works with; nothing about it shows in the site."""

    engraver: Engraver
    progress: Progress = field(default_factory=Silent)


@dataclass(frozen=True, slots=True)
class Request:
    """What was asked for."""

    content: Path
    options: Options
    output: Path | None = None
    """None to build without writing."""


@dataclass(frozen=True, slots=True)
class SiteRead:
    """The folder's files, settings and theme."""

    request: Request
    content: Content
    settings: Settings
    theme: Theme
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class SiteParsed:
    """The articles, each at its address."""

    read: SiteRead
    drafts: tuple[Article, ...]
    """Articles this build leaves out."""
    map: SiteMap
    files: tuple[OutputFile, ...]
    """The content's other files."""
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class SiteChecked:
    """What is wrong."""

    parsed: SiteParsed
    findings: tuple[Finding, ...]
    """All so far, in order."""
    checked: Checked


@dataclass(frozen=True, slots=True)
class SiteEngraved:
    """The figures."""

    checked: SiteChecked
    figures: Mapping[BlockKey, tuple[Figure, ...]]
    """None for a block with errors."""
    errors: Mapping[BlockKey, tuple[Finding, ...]]
    """Why a block has no figures."""
    findings: tuple[Finding, ...]
    """All so far, in order."""


@dataclass(frozen=True, slots=True)
class Rendered:
    """The whole site as files in memory."""

    files: tuple[OutputFile, ...]
    pages: tuple[Page, ...]
    findings: tuple[Finding, ...]
    checked: Checked
    texts: Mapping[str, str]
    """The author's texts by the name findings give their file."""
    watched: tuple[Path, ...]
    """The folders that all of this came from."""
    output: Path | None
    drafts: int = 0
    """How many articles this build left out."""


@dataclass(frozen=True, slots=True)
class Written:
    """The site on disk."""

    rendered: Rendered
