"""What was made of each article, brought to its page: text, links and files."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from stavewright.articles.article import LinkKind
from stavewright.notation.finding import Finding
from stavewright.notation.source import Span
from stavewright.site.content import Source, read_listed
from stavewright.site.errors import CannotRunError
from stavewright.site.making.made import Order
from stavewright.site.making.makers import Makers
from stavewright.site.making.manner import Manner
from stavewright.site.making.notes import note
from stavewright.site.making.shelf import Shelf
from stavewright.site.map import Page, SiteMap
from stavewright.site.stages.values import MadeArticle

_LINK_RULES = frozenset({"link", "term"})


@dataclass(frozen=True, slots=True)
class Bodies:
    """Fetches what was made; what the shelf has lost is made once more."""

    map: SiteMap
    articles: Mapping[str, MadeArticle]
    """By path."""
    faults: Mapping[str, Mapping[Span, Finding]]
    """What is wrong with links, by file and place."""
    shelf: Shelf
    makers: Makers
    manner: Manner

    def links(self, page: Page) -> tuple[tuple[str, str], ...]:
        """Address and note of each link of a page that is not to another site, in order."""
        inside = (it.kind is not LinkKind.OUTSIDE for it in page.article.links)
        return tuple(
            (self._address(page, index) if is_inside else "", self._note(page, index))
            for index, is_inside in enumerate(inside)
        )

    def text(self, page: Page) -> Markup:
        """The page's own text. Raises `CannotRunError` where its file changed meanwhile."""
        key = self.articles[page.article.path].key
        body = self.shelf.body(key)
        if body is None:
            self._make_again(page)
            body = self.shelf.body(key)
        if body is None:
            raise CannotRunError(f"what was made of {page.file} was lost twice; build again")
        return body.filled(
            lambda index: self._address(page, index), lambda index: self._note(page, index)
        )

    def file(self, page: Page, path: str) -> bytes:
        """A file that a figure of the page offers."""
        key = self.articles[page.article.path].key
        files = self.shelf.files(key)
        if files is None:
            self._make_again(page)
            files = self.shelf.files(key)
        for file in files or ():
            if file.path == path:
                return file.data
        raise CannotRunError(f"what was made of {page.file} was lost twice; build again")

    def _address(self, page: Page, index: int) -> str:
        return self.map.link_href(page, index)

    def _note(self, page: Page, index: int) -> str:
        faults = self.faults.get(page.file)
        fault = faults.get(page.article.links[index].span) if faults else None
        return note("link-finding", [fault]) if fault else ""

    def _make_again(self, page: Page) -> None:
        made = self.articles[page.article.path]
        source = read_listed(made.source)
        if isinstance(source, Source):
            order = Order(source.path, source.file, source.data)
            if order.key(self.manner.key) == made.key:
                for _, parcel in self.makers.make(self.manner, [order], self.shelf.drawings):
                    self.shelf.keep_here(made.key, parcel)
                return
        raise CannotRunError(f"{page.file} changed while the site was being built; build again")


def link_faults(findings: Iterable[Finding]) -> dict[str, dict[Span, Finding]]:
    """What is wrong with links, by file and place."""
    faults: dict[str, dict[Span, Finding]] = {}
    for finding in findings:
        if finding.rule in _LINK_RULES:
            faults.setdefault(finding.span.file, {})[finding.span] = finding
    return faults
