"""The second stage: each article is made, or taken from the shelf where it was made before."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from stavewright.notation.finding import Finding
from stavewright.site.content import ContentFile, Source, read_listed
from stavewright.site.making.essence import Essence
from stavewright.site.making.made import Order
from stavewright.site.making.shelf import Shelf
from stavewright.site.stages.values import MadeArticle, SiteMade, SiteRead, Tools
from stavewright.site.store import digest

_BATCH: Final = 256
"""Articles that are looked for at once."""


def make(site: SiteRead, tools: Tools) -> SiteMade:
    """Make every article whose text, or whose manner of making, is not that of an earlier build."""
    made = make_again(site, tools, Shelf(tools.store), {})
    # What follows needs memory for the whole site; the makers have as much as a site of thousands.
    tools.makers.rest()
    return made


def make_again(
    site: SiteRead, tools: Tools, shelf: Shelf, known: Mapping[str, MadeArticle]
) -> SiteMade:
    """As `make`, with articles known by their path to be as they were, which are not read."""
    making = Making(site, shelf)
    tools.progress.stage("make", len(site.listing.articles))
    missing = []
    unknown = []
    for file in site.listing.articles:
        if file.path in known:
            making.articles[file.path] = known[file.path]
        else:
            unknown.append(file)
    tools.progress.advance(len(making.articles))
    for batch in _batches(tuple(unknown)):
        lacking = making.look_for(batch)
        missing += lacking
        tools.progress.advance(len(batch) - len(lacking))
    for order, parcel in tools.makers.make(site.manner, making.orders(missing), shelf.drawings):
        making.put(order, shelf.keep(order.key(making.manner), parcel))
        tools.progress.advance()
    return SiteMade(
        read=site,
        articles=tuple(making.articles[path] for path in sorted(making.articles)),
        shelf=shelf,
        findings=(*site.findings, *making.findings),
        anew=len(missing),
    )


@dataclass(slots=True)
class Making:
    """The articles that there are so far."""

    site: SiteRead
    shelf: Shelf
    articles: dict[str, MadeArticle] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    manner: bytes = b""
    _sources: dict[str, ContentFile] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.manner = self.site.manner.key

    def look_for(self, files: tuple[ContentFile, ...]) -> list[ContentFile]:
        """Take what is on the shelf; gives the files whose articles are still to be made."""
        orders: dict[bytes, Order] = {}
        for file in files:
            order = self._order(file)
            if order is not None:
                orders[order.key(self.manner)] = order
        found = self.shelf.essences(orders)
        for key, essence in found.items():
            self.put(orders[key], essence)
        return [self._sources[order.path] for key, order in orders.items() if key not in found]

    def orders(self, files: list[ContentFile]) -> Iterator[Order]:
        """An order for each file, read when it is asked for, so that few are in memory at once."""
        for file in files:
            order = self._order(file)
            if order is not None:
                yield order

    def put(self, order: Order, essence: Essence) -> None:
        """Note that an article is there."""
        source = self._sources[order.path]
        key = order.key(self.manner)
        text = digest(order.path, order.file, order.data)
        self.articles[order.path] = MadeArticle(essence, source, text, key)

    def _order(self, file: ContentFile) -> Order | None:
        source = read_listed(file)
        if not isinstance(source, Source):
            self.findings.append(source)
            return None
        self._sources[file.path] = file
        return Order(source.path, source.file, source.data)


def _batches(files: tuple[ContentFile, ...]) -> Iterator[tuple[ContentFile, ...]]:
    for start in range(0, len(files), _BATCH):
        yield files[start : start + _BATCH]
