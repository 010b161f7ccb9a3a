"""The pages of a site and the ways between them: addresses, links, neighbours, mentions."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import quote, urlsplit

from stavewright.articles.article import Kind, Known, LinkKind
from stavewright.notation.finding import Finding
from stavewright.notation.source import Span
from stavewright.site.addresses import (
    HOME,
    NOT_FOUND,
    Place,
    collisions,
    output_path,
    page_address,
    relative_href,
    unusable,
    whole_address,
)
from stavewright.site.content import ContentFile

HOME_FILE = "index.md"
_LAST = 10**9
"""Where a page without `order:` stands among those with one: behind them."""


@dataclass(frozen=True, slots=True)
class Page:
    """An article and where it lives."""

    article: Known
    file: str
    """As findings name it."""
    address: str

    @property
    def output(self) -> str:
        """The file below the output folder."""
        return output_path(self.address)

    @property
    def is_home(self) -> bool:
        """Whether this is the text of the home page."""
        return self.address == HOME

    @property
    def is_glossary(self) -> bool:
        """Whether this page defines the terms."""
        return bool(self.article.terms)


@dataclass(frozen=True, slots=True)
class Placed:
    """Everything that has an address."""

    pages: tuple[Page, ...]
    files: tuple[ContentFile, ...]
    findings: tuple[Finding, ...]


def place_all(articles: Sequence[tuple[Known, str]], files: Sequence[ContentFile]) -> Placed:
    """Give each article (with its file's name) and each file an address.

    An address that cannot be used is a finding and gives way to the file's own. Of two that want
    one address the second is a finding too, and is left out, since it has nowhere to be.
    """
    places = []
    findings = []
    pages = []
    for article, file in articles:
        place, finding = place_of(article, file)
        findings += [finding] if finding else []
        places.append(place)
        pages.append(Page(article, file, place.address))
    # Pages come first: a page that is linked and checked has more to lose than a file.
    places += [Place(file.path, file.path, Span(file.shown, 1, 1, 1)) for file in files]
    taken = collisions(places, own_home=all(page.address != HOME for page in pages))
    lost = {finding.span.file for finding in taken}
    return Placed(
        pages=tuple(page for page in pages if page.file not in lost),
        files=tuple(file for file in files if file.shown not in lost),
        findings=(*findings, *taken),
    )


def place_of(article: Known, file: str) -> tuple[Place, Finding | None]:
    """Where an article wants to be, and what is wrong with the address it asks for."""
    custom = article.front.address
    start = article.front_span("address") or Span(file, 1, 1, 1)
    own = Place(article.path, page_address(article.path), start)
    if custom is None:
        return own, None
    finding = unusable(own, custom)
    if finding is not None:
        return own, finding
    return Place(article.path, page_address(article.path, custom), start), None


@dataclass(frozen=True, slots=True)
class SiteMap:
    """Every way through the site."""

    pages: tuple[Page, ...]
    by_path: Mapping[str, Page]
    glossary: Page | None
    site_address: str | None
    root: str
    """The path of the site's root on its host, `/` or `/music/`."""
    rows: Mapping[Kind, tuple[Page, ...]]
    """The pages of each kind in reading order: articles by date, others by `order:` and path."""
    positions: Mapping[str, int]
    """Where in its row each page stands, by its path."""
    mentioned: Mapping[str, tuple[Page, ...]]
    """The other pages that link to an article, by its path."""

    @classmethod
    def of(cls, pages: tuple[Page, ...], site_address: str | None, root: str | None) -> "SiteMap":
        """The map of these pages; `root` overrides the path in the site's address."""
        own = urlsplit(site_address).path if site_address else "/"
        glossary = next((page for page in pages if page.is_glossary), None)
        rows = {kind: _row(kind, pages) for kind in Kind}
        return cls(
            pages=pages,
            by_path={page.article.path: page for page in pages},
            glossary=glossary,
            site_address=site_address,
            root=root or own or "/",
            rows=rows,
            positions={
                page.article.path: place for row in rows.values() for place, page in enumerate(row)
            },
            mentioned=_mentioned(pages),
        )

    def href(self, origin: str, target: str, anchor: str = "") -> str:
        """How the page at `origin` links to the address `target`."""
        if origin == NOT_FOUND:
            # A server shows this page at addresses of any depth, so only the root is firm ground.
            return f"{self.root}{quote(target)}" + (f"#{quote(anchor)}" if anchor else "")
        return relative_href(origin, target, anchor)

    def link_href(self, page: Page, index: int) -> str:
        """The address that the link of an article that is number `index`, from 0, gets in its page.

        A link that leads nowhere keeps what the author wrote; a finding has been made of it.
        """
        link = page.article.links[index]
        if link.kind is LinkKind.OUTSIDE:
            return link.target
        if link.kind is LinkKind.TERM:
            home = self.glossary.address if self.glossary else page.address
            return self.href(page.address, home, link.target)
        path = page.article.reaches[index]
        target = self.by_path.get(path or "")
        if target is not None:
            return self.href(page.address, target.address, link.anchor)
        return self.href(page.address, path) if path else quote(link.target)

    def canonical(self, address: str) -> str | None:
        """The whole address; None where the site names none."""
        return whole_address(self.site_address, address) if self.site_address else None

    def neighbours(self, page: Page) -> tuple[Page | None, Page | None]:
        """The pages before and after, among those of its kind; plain pages have none."""
        row = self.rows[page.article.front.kind]
        index = self.positions.get(page.article.path)
        if page.article.front.kind is Kind.PAGE or index is None:
            return None, None
        before = row[index - 1] if index else None
        return before, row[index + 1] if index + 1 < len(row) else None


def _row(kind: Kind, pages: Iterable[Page]) -> tuple[Page, ...]:
    row = [page for page in pages if page.article.front.kind is kind]
    shown = [page for page in row if not page.is_home and not page.is_glossary]
    return tuple(sorted(shown, key=_reading_order))


def _mentioned(pages: Iterable[Page]) -> dict[str, tuple[Page, ...]]:
    found: defaultdict[str, list[Page]] = defaultdict(list)
    for page in pages:
        for path in page.article.mentions:
            found[path].append(page)
    return {path: tuple(others) for path, others in found.items()}


def _reading_order(page: Page) -> tuple[str, int, str]:
    front = page.article.front
    if front.kind is Kind.ARTICLE:
        return (front.date.isoformat() if front.date else "", 0, page.article.path)
    return ("", front.order if front.order is not None else _LAST, page.article.path)
