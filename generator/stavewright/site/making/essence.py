"""What a site needs to know of an article to build everything around it."""

from dataclasses import dataclass
from pathlib import PurePosixPath

from stavewright.articles.article import Article, FrontMatter, Heading, Link, Term
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span
from stavewright.site.social_style import SocialPicture

_ASKED_SPANS = frozenset({"address", "video.still"})
"""The fields whose places the site's own checks point at."""


@dataclass(frozen=True, slots=True)
class Essence:
    """An article without its text: a few kilobytes that a build of any size can hold at once."""

    path: str
    """Relative to the content folder, with `/`."""
    front: FrontMatter
    links: tuple[Link, ...]
    reaches: tuple[str | None, ...]
    """Where each link leads; see `Article.reaches`."""
    headings: tuple[Heading, ...]
    terms: tuple[Term, ...]
    findings: tuple[Finding, ...]
    """Everything found in the article by itself, in order: in its front matter, its Markdown, its
    music and claims, and what could not be drawn."""
    blocks: int
    claims: int
    spans: tuple[tuple[str, Span], ...] = ()
    """Of the fields of the front matter that the site asks about."""
    files: tuple[str, ...] = ()
    """Paths in the site of the files that its figures offer, and of its picture."""
    picture: SocialPicture | None = None
    """For links that are shared."""

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
            links=article.links,
            reaches=article.reaches,
            headings=article.headings,
            terms=article.terms,
            findings=findings,
            blocks=len(article.blocks),
            claims=len(article.claims),
            spans=tuple(pair for pair in article.front_spans if pair[0] in _ASKED_SPANS),
            files=files,
            picture=picture,
        )

    @classmethod
    def lost(cls, path: str, file: str, message: str) -> "Essence":
        """What stands for an article that could not be made, because its maker broke down."""
        reason = "Everything else in the site was made; this article alone brought it down twice."
        finding = Finding("syntax", Severity.ERROR, Span(file, 1, 1, 1), message, reason=reason)
        front = FrontMatter(PurePosixPath(path).stem.replace("-", " "))
        return cls(path, front, (), (), (), (), (finding,), 0, 0)

    def front_span(self, word: str) -> Span | None:
        """Where the value of a field of the front matter stands; None where it is absent."""
        return next((span for name, span in self.spans if name == word), None)
