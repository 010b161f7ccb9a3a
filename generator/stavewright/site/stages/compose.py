"""The fifth stage: every file of the site, planned; each is made when it has to be written."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Final

from stavewright import __version__
from stavewright.articles.article import Kind
from stavewright.site.addresses import FEED, HOME, SITEMAP
from stavewright.site.assets import Assets, figure_assets, place_assets
from stavewright.site.composer import Composer
from stavewright.site.feeds import Entry, atom_feed, sitemap
from stavewright.site.map import Page
from stavewright.site.plan import PagePlan, seen
from stavewright.site.recollection import Remembered, recall, remember
from stavewright.site.settings import Settings
from stavewright.site.stages.values import SiteChecked, SiteComposed, Tools
from stavewright.site.store import digest
from stavewright.site.themes import Theme
from stavewright.site.write import LazyFile, OutputFile


def compose(site: SiteChecked, tools: Tools) -> SiteComposed:
    """Plan every page, feed and file. Raises `ThemeError`."""
    request = site.placed.made.read.request
    known = recall(tools.store, request)
    composed = compose_again(site, tools, known)
    if composed.remembered != known:
        remember(tools.store, request, composed.remembered)
    return replace(composed, remembered={})


def compose_again(site: SiteChecked, tools: Tools, known: Remembered) -> SiteComposed:
    """As `compose`, with what pages were made of when the same site was composed before."""
    read = site.placed.made.read
    assets = place_assets(_asset_contents(read.theme))
    composer = Composer.of(site, assets, tools.makers, known)
    tools.progress.stage("compose", len(site.placed.map.pages))
    pages = []
    for page in composer.pages():
        pages.append(page)
        tools.progress.advance()
    files = _Files(site, composer, assets, tuple(pages))
    return SiteComposed(site, tuple(pages), files, composer.recollection.now)


@dataclass(frozen=True, slots=True)
class _Files:
    """The files of a site, one after the other."""

    site: SiteChecked
    composer: Composer
    assets: Assets
    pages: tuple[PagePlan, ...]

    def __call__(self) -> Iterator[OutputFile | LazyFile]:
        """All of them, each path once."""
        for page in self.pages:
            yield LazyFile(page.path, page.parts.key, page.make)
        yield from _feeds(self.site)
        yield from self.assets.files
        yield from self._offered()
        for file in self.site.placed.files:
            yield OutputFile(file.path, file.file)

    def _offered(self) -> Iterator[LazyFile]:
        """What figures offer; equal files of several figures are one."""
        articles = self.composer.bodies.articles
        offered: set[str] = set()
        for page in self.site.placed.map.pages:
            for path in articles[page.article.path].essence.files:
                if path not in offered:
                    offered.add(path)
                    make = partial(self.composer.bodies.file, page, path)
                    yield LazyFile(path, _NAMED, make)


_NAMED: Final = digest("named after what it holds")
"""The key of any such file: under its path there can be nothing else."""


def _asset_contents(theme: Theme) -> dict[str, bytes]:
    """The files of figures and theme by name; the theme's own come last and win."""
    contents = dict(figure_assets())
    contents.update({name: path.read_bytes() for name, path in theme.assets})
    return contents


def _feeds(site: SiteChecked) -> Iterator[LazyFile]:
    settings = site.placed.made.read.settings
    pages = [page for page in site.placed.map.pages if not page.article.front.draft]
    entries = [
        Entry(front.title, page.address, front.summary, front.date, front.updated or front.date)
        for page in pages
        if (front := page.article.front).kind is Kind.ARTICLE and front.date is not None
    ]
    key = seen(__version__, settings, entries)
    yield LazyFile(FEED, key, lambda: atom_feed(settings, entries, __version__))
    if settings.address is not None:
        days: dict[str, date | None] = {HOME: max((e.updated for e in entries), default=None)}
        days |= {page.address: _changed(page) for page in pages if not page.is_home}
        tour = partial(_tour, settings, days)
        yield LazyFile(SITEMAP, seen(__version__, settings, days), tour)


def _tour(settings: Settings, days: Mapping[str, date | None]) -> bytes:
    return sitemap(settings, list(days.items())) or b""


def _changed(page: Page) -> date | None:
    return page.article.front.updated or page.article.front.date
