"""What a site needs to know of an article to build everything around it."""

from dataclasses import dataclass
from pathlib import PurePosixPath

from stavewright.articles.article import (
    Article,
    FrontMatter,
    Heading,
    Link,
    LinkKind,
    Term,
)
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span
from stavewright.site.making.details import Details, pack, unpack
from stavewright.site.social_style import SocialPicture

_ASKED_SPANS = frozenset({"address", "video.still"})
"""The fields whose places the site's own checks point at."""


@dataclass(frozen=True, slots=True)
class Essence:
    """An article without its text, small enough that a build of any size can hold all of them.

    What is asked of every article in every build lies open. The rest, most of it, is wanted where
    the article's own page is made, and stays packed until then.
    """

    path: str
    """Relative to the content folder, with `/`."""
    front: FrontMatter
    ways: tuple[str, ...]
    """The paths in the site that its links lead to, each once."""
    mentions: tuple[str, ...]
    """Those of other articles among them; see `Article.mentions`."""
    uses: tuple[str, ...]
    """The terms that it links to; see `Article.uses`."""
    plain: bool
    """Whether its links lead nowhere but to `ways` and `uses`, as whole pages and files."""
    terms: tuple[Term, ...]
    findings: tuple[Finding, ...]
    """Everything found in the article by itself, in order: in its front matter, its Markdown, its
    music and claims, and what could not be drawn."""
    blocks: int
    claims: int
    packed: bytes
    """The `Details`."""
    spans: tuple[tuple[str, Span], ...] = ()
    """Of the fields of the front matter that the site asks about."""
    offered: str = ""
    """The `files`, one a line."""

    @classmethod
    def of(
        cls,
        article: Article,
        findings: tuple[Finding, ...],
        files: tuple[str, ...],
        picture: SocialPicture | None = None,
    ) -> "Essence":
        """The essence of an article that was read, checked and drawn."""
        return cls(
            path=article.path,
            front=article.front,
            ways=article.ways,
            mentions=article.mentions,
            uses=article.uses,
            plain=_is_plain(article),
            terms=article.terms,
            findings=findings,
            blocks=len(article.blocks),
            claims=len(article.claims),
            packed=pack(Details(article.links, article.reaches, article.headings, picture)),
            spans=tuple(pair for pair in article.front_spans if pair[0] in _ASKED_SPANS),
            offered="\n".join(files),
        )

    @classmethod
    def lost(cls, path: str, file: str, message: str) -> "Essence":
        """What stands for an article that could not be made, because its maker broke down."""
        reason = "Everything else in the site was made; this article alone brought it down twice."
        finding = Finding("syntax", Severity.ERROR, Span(file, 1, 1, 1), message, reason=reason)
        front = FrontMatter(PurePosixPath(path).stem.replace("-", " "))
        nothing = pack(Details((), (), (), None))
        return cls(path, front, (), (), (), True, (), (finding,), 0, 0, nothing)

    @property
    def links(self) -> tuple[Link, ...]:
        """In reading order."""
        return unpack(self.packed).links

    @property
    def reaches(self) -> tuple[str | None, ...]:
        """Where each link leads; see `Article.reaches`."""
        return unpack(self.packed).reaches

    @property
    def headings(self) -> tuple[Heading, ...]:
        """In reading order."""
        return unpack(self.packed).headings

    @property
    def picture(self) -> SocialPicture | None:
        """For links that are shared."""
        return unpack(self.packed).picture

    @property
    def files(self) -> tuple[str, ...]:
        """Paths in the site of the files that its figures offer, and of its picture."""
        return tuple(self.offered.split("\n")) if self.offered else ()

    def front_span(self, word: str) -> Span | None:
        """Where the value of a field of the front matter stands; None where it is absent."""
        return next((span for name, span in self.spans if name == word), None)


def _is_plain(article: Article) -> bool:
    """Whether all that matters of what an article links to is that it is there."""
    video = article.front.video
    pairs = zip(article.links, article.reaches, strict=True)
    return (video is None or video.still is None) and not any(
        link.anchor or (path is None and link.kind in (LinkKind.ARTICLE, LinkKind.FILE))
        for link, path in pairs
    )
