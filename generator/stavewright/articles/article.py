"""An article as a value: everything the site needs to know of one Markdown file."""

import datetime
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING, Protocol

from stavewright.articles.paths import resolve
from stavewright.notation.finding import Finding
from stavewright.notation.source import Span

if TYPE_CHECKING:  # A build in which nothing changed reads no Markdown and no music.
    from markdown_it.token import Token

    from stavewright.notation import Block, Claim


class Kind(Enum):
    """What an article is for; themes may set each in its own way."""

    ARTICLE = "article"
    HANDBOOK = "handbook"
    PAGE = "page"


@dataclass(frozen=True, slots=True)
class Video:
    """The video an article belongs to."""

    address: str
    """Its web address, https."""
    seconds: int
    """How long it is."""
    still: str | None = None
    """A picture to show in the page, as a path relative to the article."""


@dataclass(frozen=True, slots=True)
class FrontMatter:
    """What stands between the `---` lines that open an article, validated."""

    title: str
    summary: str = ""
    """One or two sentences, for lists, feeds and the video's description."""
    kind: Kind = Kind.ARTICLE
    date: datetime.date | None = None
    """First published; required of an article, so that feeds can be in order."""
    updated: datetime.date | None = None
    order: int | None = None
    """Place among its neighbours in lists that are not by date (the handbook)."""
    address: str | None = None
    """Where the page lives below the site's root (`keys/g-sharp/`); by the file's path if None."""
    question: str | None = None
    """The viewer's question that the article answers, in the author's words."""
    video: Video | None = None
    credits: tuple[str, ...] = ()
    rights: str | None = None
    disclosure: str | None = None
    """What the author must disclose (a sponsor, an instrument lent …), printed and described."""
    draft: bool = False
    """Checked and previewed, never built into the published site."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading of an article, and the place it has in the video."""

    level: int
    """1 to 6."""
    text: str
    """Plain text, without the time."""
    anchor: str
    """The id in the page; unique in the article and unchanged by edits elsewhere in it."""
    seconds: int | None
    """From `## The answer [1:42]`; None where no time is given."""
    span: Span


class LinkKind(Enum):
    """Where a link points."""

    ARTICLE = "article"
    """A relative path to a `.md` file, with or without an anchor, or an anchor alone."""
    TERM = "term"
    """`[raised sixth](term:)` or `[it](term:raised-sixth)`: an entry of the glossary."""
    FILE = "file"
    """A relative path to any other file of the content (a picture)."""
    OUTSIDE = "outside"
    """A web or mail address; never fetched."""


@dataclass(frozen=True, slots=True)
class Link:
    """A link or picture in an article."""

    kind: LinkKind
    target: str
    """The path without its anchor, the term's slug, or the whole address; empty for this page."""
    anchor: str
    """Without `#`; empty for none."""
    text: str
    span: Span
    """The destination between the parentheses where it can be told, else the line."""


@dataclass(frozen=True, slots=True)
class Term:
    """An entry of the glossary, from a definition list in `glossary.md`."""

    name: str
    slug: str
    span: Span


class Known(Protocol):
    """What the rest of a site needs to know of an article, whether it was just read or long ago."""

    @property
    def path(self) -> str:
        """See `Article`, as for the others."""

    @property
    def front(self) -> FrontMatter:
        """What opens it."""

    @property
    def links(self) -> tuple[Link, ...]:
        """In reading order."""

    @property
    def reaches(self) -> tuple[str | None, ...]:
        """Where each link leads."""

    @property
    def ways(self) -> tuple[str, ...]:
        """The paths in the site that its links lead to."""

    @property
    def mentions(self) -> tuple[str, ...]:
        """The other articles that it links to."""

    @property
    def uses(self) -> tuple[str, ...]:
        """The terms that it links to."""

    @property
    def headings(self) -> tuple[Heading, ...]:
        """In reading order."""

    @property
    def terms(self) -> tuple[Term, ...]:
        """Empty but in the glossary."""

    def front_span(self, word: str) -> Span | None:
        """Where the value of a field of the front matter stands."""


@dataclass(frozen=True, slots=True)
class Article:
    """One Markdown file, read."""

    path: str
    """Relative to the content folder, with `/`; unique."""
    front: FrontMatter
    blocks: "tuple[Block, ...]"
    """The music blocks in reading order."""
    claims: "tuple[Claim, ...]"
    """In reading order."""
    links: tuple[Link, ...]
    headings: tuple[Heading, ...]
    terms: tuple[Term, ...]
    """Empty but in the glossary."""
    findings: tuple[Finding, ...]
    """Of the front matter and the Markdown itself; blocks and claims carry their own."""
    tokens: "tuple[Token, ...]"
    """The parsed Markdown. `meta` holds the index of what a token stands for: `block` for a fence,
    `claim` for a code span, `link` for a link or picture, `heading`, and `term` for a term; and for
    HTML `html`, what becomes of it."""
    has_front_matter: bool = True
    """False for a bare Markdown file, whose title is its first heading."""
    front_spans: tuple[tuple[str, Span], ...] = ()
    """The value of each field of the front matter that is written, `video.address` included."""

    @property
    def reaches(self) -> tuple[str | None, ...]:
        """Where each link to the article's own site leads: a path below the content folder.

        None for one that leads elsewhere, or nowhere (`paths.resolve`), or to a term.
        """
        inside = {LinkKind.ARTICLE, LinkKind.FILE}
        return tuple(
            resolve(self.path, link.target) if link.kind in inside else None for link in self.links
        )

    @property
    def ways(self) -> tuple[str, ...]:
        """The paths that its links lead to, each once, in reading order."""
        return tuple(dict.fromkeys(path for path in self.reaches if path is not None))

    @property
    def mentions(self) -> tuple[str, ...]:
        """The paths of the other articles that it links to, each once, in reading order."""
        ways = zip(self.links, self.reaches, strict=True)
        found = (path for link, path in ways if link.kind is LinkKind.ARTICLE and path is not None)
        return tuple(path for path in dict.fromkeys(found) if path != self.path)

    @property
    def uses(self) -> tuple[str, ...]:
        """The slugs of the terms that it links to, each once, in reading order."""
        terms = (link.target for link in self.links if link.kind is LinkKind.TERM)
        return tuple(dict.fromkeys(terms))

    def front_span(self, word: str) -> Span | None:
        """Where the value of a field of the front matter stands; None where it is absent."""
        return next((span for name, span in self.front_spans if name == word), None)
