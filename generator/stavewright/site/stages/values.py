"""What goes from stage to stage: each value holds the one before it and adds to it."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from stavewright.notation.finding import Finding
from stavewright.site.content import ContentFile, Listing
from stavewright.site.explain import PageChange
from stavewright.site.making.essence import Essence
from stavewright.site.making.makers import Makers
from stavewright.site.making.manner import Manner
from stavewright.site.making.shelf import Shelf
from stavewright.site.map import SiteMap
from stavewright.site.plan import PagePlan
from stavewright.site.progress import Progress, Silent
from stavewright.site.report import Checked
from stavewright.site.settings import Settings
from stavewright.site.store import Store
from stavewright.site.texts import Texts
from stavewright.site.themes import Theme
from stavewright.site.write import LazyFile, OutputFile, Standing, WriteReport


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


def _memory() -> Store:
    return Store.open(None)


@dataclass(frozen=True, slots=True)
class Tools:
    """What a build works with; nothing about it shows in the site."""

    makers: Makers
    progress: Progress = field(default_factory=Silent)
    store: Store = field(default_factory=_memory)
    """What earlier builds made; without one, nothing outlives the build."""


@dataclass(frozen=True, slots=True)
class Request:
    """What was asked for."""

    content: Path
    options: Options
    output: Path | None = None
    """None to build without writing."""


@dataclass(frozen=True, slots=True)
class SiteRead:
    """What lies in the folder, its settings and theme."""

    request: Request
    listing: Listing
    settings: Settings
    theme: Theme
    templates: bytes
    """Digest of the theme's templates."""
    manner: Manner
    """How each article is made."""
    texts: Texts
    """What the articles' files hold."""
    findings: tuple[Finding, ...]
    standing: Standing | None
    """The site that the new one is to replace, if it is to be written."""


@dataclass(frozen=True, slots=True)
class MadeArticle:
    """An article that was made, by this build or an earlier one."""

    essence: Essence
    source: ContentFile
    text: bytes
    """Digest of its text and its name."""
    key: bytes
    """What it is found under on the shelf."""


@dataclass(frozen=True, slots=True)
class SiteMade:
    """The articles, drafts among them."""

    read: SiteRead
    articles: tuple[MadeArticle, ...]
    """Sorted by path."""
    shelf: Shelf
    findings: tuple[Finding, ...]
    """About the folder, the settings and files that cannot be read; articles have their own."""
    anew: int
    """How many of them this build made."""


@dataclass(frozen=True, slots=True)
class SitePlaced:
    """Everything at its address."""

    made: SiteMade
    drafts: tuple[Essence, ...]
    """Articles this build leaves out."""
    map: SiteMap
    files: tuple[ContentFile, ...]
    """The content's other files."""
    findings: tuple[Finding, ...]
    """About all of these."""


@dataclass(frozen=True, slots=True)
class SiteChecked:
    """What is wrong."""

    placed: SitePlaced
    findings: tuple[Finding, ...]
    """All, in order."""
    checked: Checked


@dataclass(frozen=True, slots=True)
class SiteComposed:
    """What each file of the site will hold, once somebody asks for it."""

    checked: SiteChecked
    pages: tuple[PagePlan, ...]
    files: Callable[[], Iterator[OutputFile | LazyFile]]
    """All files, pages among them; one after the other, so that not all of them need be at hand."""
    remembered: Mapping[str, bytes]
    """What composing the same site again need not work out; see `recollection.Remembered`."""


@dataclass(frozen=True, slots=True)
class Written:
    """The site on disk."""

    composed: SiteComposed
    report: WriteReport | None
    """None where nothing was to be written."""
    changes: tuple[PageChange, ...]
    """The pages that were made anew, and why."""
