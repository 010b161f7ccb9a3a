"""What a theme's templates are given: one frozen value a page, everything already worked out.

A theme is a folder with `theme.yaml` (`name`, `about`), `templates/` and `assets/`. Templates are
`home.html`, `article.html` (every article, handbook page and plain page), `glossary.html` and
`not-found.html`; `figure.html` draws one figure inside an article's body. Each page template is
rendered with `site` (`SiteView`) and `page` (its own value below, which names its template);
`figure.html` with `figure` (`page_figure.FigureView`).

Every address in these values is relative to the page that shows it, so that a site works under any
folder of any host; only `canonical` and what feeds carry are whole addresses.
"""

import datetime
from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup


@dataclass(frozen=True, slots=True)
class LinkView:
    """A link to show."""

    title: str
    href: str
    current: bool = False
    """Whether it leads to the page that shows it."""


@dataclass(frozen=True, slots=True)
class SiteView:
    """The site around a page."""

    name: str
    author: str
    about: str
    language: str
    rights: str
    home: str
    """Address of the home page."""
    glossary: str | None
    """Address of the glossary page; None where the site has none."""
    feed: str
    """Address of the Atom feed."""
    assets: tuple[tuple[str, str], ...]
    """Theme asset by its name in the theme (`style.css`), and its address in the site."""
    navigation: tuple[LinkView, ...]

    def asset(self, name: str) -> str:
        """The address of a theme asset; `KeyError` names one the theme does not have."""
        return dict(self.assets)[name]


@dataclass(frozen=True, slots=True)
class SectionView:
    """A heading of the page, for its table of contents."""

    level: int
    title: str
    href: str
    time: str | None
    """`1:42`, where the section has its place in the video."""
    video: str | None
    """The video's address at that time."""


@dataclass(frozen=True, slots=True)
class VideoView:
    """The page's video; a link, never an embedded player from elsewhere."""

    address: str
    length: str
    """`6:40`."""
    host: str
    """The host it is on, so that the reader knows where the link leads."""
    still: str | None


@dataclass(frozen=True, slots=True)
class CardView:
    """An article in a list."""

    title: str
    href: str
    summary: str
    date: datetime.date | None
    question: str | None


@dataclass(frozen=True, slots=True)
class PictureView:
    """The picture for links to a page that are shared elsewhere."""

    address: str
    """The whole address, as those who fetch it from elsewhere need it."""
    width: int
    height: int
    alt: str


@dataclass(frozen=True, slots=True)
class ArticleView:
    """A page made from one Markdown file."""

    template: ClassVar = "article.html"

    kind: str
    """`article handbook page`."""
    title: str
    summary: str
    canonical: str | None
    """The whole address; None where the site names none."""
    date: datetime.date | None
    updated: datetime.date | None
    question: str | None
    video: VideoView | None
    body: Markup
    sections: tuple[SectionView, ...]
    """Headings of level 2 and 3."""
    credits: tuple[str, ...]
    rights: str | None
    disclosure: str | None
    mentions: tuple[LinkView, ...]
    """Articles that link to this one."""
    previous: LinkView | None
    """The neighbour before, among pages of the same kind."""
    next: LinkView | None
    draft: bool
    picture: PictureView | None = None
    """None where the page has no figure, or the site no address."""


@dataclass(frozen=True, slots=True)
class HomeView:
    """The home page: its own text, if the content has an `index.md`, and the articles."""

    template: ClassVar = "home.html"

    title: str
    summary: str
    canonical: str | None
    body: Markup
    articles: tuple[CardView, ...]
    """Newest first."""
    handbook: tuple[CardView, ...]
    """In their own order."""


@dataclass(frozen=True, slots=True)
class TermView:
    """An entry of the glossary."""

    name: str
    anchor: str
    uses: tuple[LinkView, ...]
    """Articles that use the term."""


@dataclass(frozen=True, slots=True)
class GlossaryView:
    """The glossary page."""

    template: ClassVar = "glossary.html"

    title: str
    summary: str
    canonical: str | None
    body: Markup
    """The definition list as written, each entry with its anchor."""
    terms: tuple[TermView, ...]


@dataclass(frozen=True, slots=True)
class NotFoundView:
    """The page a server shows for an address that is not in the site."""

    template: ClassVar = "not-found.html"

    title: str
    articles: tuple[CardView, ...]
    """The newest few."""
    summary: str = ""
    canonical: str | None = None
    """Never one: the page stands for many addresses."""


PageView = ArticleView | HomeView | GlossaryView | NotFoundView
