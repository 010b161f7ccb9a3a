"""The second stage: each article is made, or taken from the shelf where it was made before."""

import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from stavewright.notation.finding import Finding
from stavewright.site.content import ContentFile, Source, read_listed
from stavewright.site.making.essence import Essence
from stavewright.site.making.made import Order, key_of
from stavewright.site.making.shelf import Shelf
from stavewright.site.stages.values import MadeArticle, SiteMade, SiteRead, Tools
from stavewright.site.store import digest

_BATCH: Final = 128
"""Articles that are looked for at once, on average."""


def make(site: SiteRead, tools: Tools) -> SiteMade:
    """Make every article whose text, or whose manner of making, is not that of an earlier build."""
    shelf = Shelf(tools.store)
    made = make_again(site, tools, shelf, {})
    # What follows needs memory for the whole site; the makers have as much as a site of thousands.
    tools.makers.rest()
    articles = {article.source.path: article for article in made.articles}
    for batch in _batches(site.listing.articles):
        found = [articles[file.path] for file in batch if file.path in articles]
        shelf.bundle(_name(site, batch), {it.key: it.essence for it in found})
    site.texts.note()
    return made


def make_again(
    site: SiteRead, tools: Tools, shelf: Shelf, known: Mapping[str, MadeArticle]
) -> SiteMade:
    """As `make`, with articles known by their path to be as they were, which are not read."""
    making = Making(site, tools, shelf)
    tools.progress.stage("make", len(site.listing.articles))
    unknown = []
    for file in site.listing.articles:
        if file.path in known:
            making.articles[file.path] = known[file.path]
        else:
            unknown.append(file)
    tools.progress.advance(len(making.articles))
    for order, parcel in tools.makers.make(site.manner, making.orders(unknown), shelf.drawings):
        making.put(order.path, order.text, shelf.keep(order.key(making.manner), parcel))
        tools.progress.advance()
    return SiteMade(
        read=site,
        articles=tuple(making.articles[path] for path in sorted(making.articles)),
        shelf=shelf,
        findings=(*site.findings, *making.findings),
        anew=making.anew,
    )


@dataclass(slots=True)
class Making:
    """The articles that there are so far."""

    site: SiteRead
    tools: Tools
    shelf: Shelf
    articles: dict[str, MadeArticle] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    anew: int = 0
    """How many are not on the shelf."""
    manner: bytes = b""
    _sources: dict[str, ContentFile] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.manner = self.site.manner.key

    def orders(self, files: Sequence[ContentFile]) -> Iterator[Order]:
        """Take what is on the shelf, and give an order for each other article.

        Whoever makes one works while the next are looked for; each is read when it is asked for, so
        that few are in memory at once.
        """
        for batch in _batches(files):
            lacking = self._look_for(batch)
            self.anew += len(lacking)
            self.tools.progress.advance(len(batch) - len(lacking))
            for file in lacking:
                source = read_listed(file)
                if isinstance(source, Source):
                    yield Order(source.path, source.file, source.data)
                else:
                    self.findings.append(source)

    def put(self, path: str, text: bytes, essence: Essence) -> None:
        """Note that an article is there; `text` is the digest of its text."""
        key = key_of(self.manner, text)
        self.articles[path] = MadeArticle(essence, self._sources[path], text, key)

    def _look_for(self, batch: Sequence[ContentFile]) -> list[ContentFile]:
        """Take what is on the shelf; gives the files whose articles are still to be made."""
        texts: dict[bytes, tuple[ContentFile, bytes]] = {}
        for file in batch:
            text = self.site.texts.of(file)
            if isinstance(text, Finding):
                self.findings.append(text)
            else:
                self._sources[file.path] = file
                texts[key_of(self.manner, text)] = file, text
        found = self.shelf.essences(texts.keys(), _name(self.site, batch))
        for key, essence in found.items():
            file, text = texts[key]
            self.put(file.path, text, essence)
        return [file for key, (file, _) in texts.items() if key not in found]


def _name(site: SiteRead, batch: Sequence[ContentFile]) -> bytes:
    """The name of a batch's bundle."""
    return digest(site.manner.key, batch[0].shown)


def _batches(files: Iterable[ContentFile]) -> Iterator[Sequence[ContentFile]]:
    """The files, many at once.

    Their names say where a batch begins: a file that comes or goes changes no batch but its own.
    """
    batch: list[ContentFile] = []
    for file in files:
        if batch and zlib.crc32(file.path.encode()) % _BATCH == 0:
            yield batch
            batch = []
        batch.append(file)
    if batch:
        yield batch
