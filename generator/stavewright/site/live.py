"""A site kept in memory beside an author who writes: only what changed is made again.

One thread calls `refresh`; any thread may ask for pages and files meanwhile, and sees the site as
the last refresh left it, whole.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from stavewright.notation.finding import Finding
from stavewright.site.lines import lines_now
from stavewright.site.making.makers import Makers
from stavewright.site.making.shelf import Shelf
from stavewright.site.report import Checked, LineOf
from stavewright.site.stages.check import check
from stavewright.site.stages.compose import compose_again
from stavewright.site.stages.make import make_again
from stavewright.site.stages.place import place
from stavewright.site.stages.read import read
from stavewright.site.stages.values import (
    MadeArticle,
    Options,
    Request,
    SiteComposed,
    SiteMade,
    SiteRead,
    Tools,
)
from stavewright.site.store import Store
from stavewright.site.write import LazyFile, OutputFile

if TYPE_CHECKING:
    from stavewright.site.recollection import Remembered


@dataclass(frozen=True, slots=True)
class Refreshed:
    """The site after a look at the disk, and what that look brought."""

    pages: Mapping[str, str]
    """For the path of each page below the site's root (`answers/minor/index.html`) a key that
    changes when, and only when, anything that the page shows does."""
    changed: frozenset[str]
    """Paths of pages that are new or have another key than at the last refresh."""
    removed: frozenset[str]
    """Paths of pages that the last refresh still had."""
    sources: Mapping[str, str]
    """The Markdown file, as findings name it, that each page was made from; the page for missing
    addresses, and a home page without a text, have none."""
    findings: tuple[Finding, ...]
    """About the whole site, in order."""
    checked: Checked
    line_of: LineOf
    """Lines of the author's texts as they were at this refresh, for findings."""
    watched: tuple[Path, ...]
    """Folders whose changes call for another refresh."""


class LiveSite:
    """A site that is looked at again and again. Use it as the preview does, or `close` it."""

    def __init__(
        self, content: Path, options: Options, makers: Makers, store: Store | None = None
    ) -> None:
        self._request = Request(content, options)
        self._tools = Tools(makers) if store is None else Tools(makers, store=store)
        self._shelf = Shelf(self._tools.store)
        self._made: SiteMade | None = None
        self._remembered: Remembered = {}
        self._state: _State | None = None

    def refresh(self, changed: Iterable[Path] | None = None) -> Refreshed:
        """Read again what changed (files or folders; everything if None) and what depends on it.

        Raises `CannotRunError` where there is no site to make (no content folder, a theme that
        cannot be used) and `OSError` where a disk refuses; the site is then as it was.
        """
        site = read(self._request, self._tools)
        made = make_again(site, self._tools, self._shelf, self._unchanged(site, changed))
        checked = check(place(made, self._tools), self._tools)
        composed = compose_again(checked, self._tools, self._remembered)
        if self._made is None:
            self._tools.makers.warm()  # so that the author's first edit need not wait for it
        self._made = made
        self._remembered = composed.remembered
        before, self._state = self._state, _State(composed)
        return _refreshed(composed, before.keys if before else {}, self._state.keys)

    def page(self, path: str) -> bytes | None:
        """The page at a path below the site's root; None where there is no such page.

        Raises `ThemeError` where a template cannot be filled in, and `CannotRunError` where the
        page's file has changed since the last refresh and what was made of it is lost.
        """
        plan = self._state.plans.get(path) if self._state else None
        return plan.make() if plan else None

    def file(self, path: str) -> bytes | Path | None:
        """Any other file of the site: what it holds, or the file it is a copy of."""
        file = self._state.others.get(path) if self._state else None
        return file.make() if isinstance(file, LazyFile) else file.data if file else None

    def close(self) -> None:
        """Let go of what was made; the makers and the store are whoever's opened them."""
        self._state = self._made = None
        self._remembered = {}

    def _unchanged(self, site: SiteRead, changed: Iterable[Path] | None) -> dict[str, MadeArticle]:
        """The articles that need not be read again, by path."""
        made = self._made
        if changed is None or made is None or made.read.manner.key != site.manner.key:
            return {}
        folder = self._request.content.absolute()
        suspects = [_inside(path.absolute(), folder) for path in changed]
        if "" in suspects:  # The whole folder.
            return {}
        files = {path for path in suspects if path is not None}
        below = tuple(f"{path}/" for path in files)
        return {
            article.essence.path: article
            for article in made.articles
            if article.essence.path not in files and not article.essence.path.startswith(below)
        }


class _State:
    """The site as one refresh found it."""

    def __init__(self, composed: SiteComposed) -> None:
        self.plans = {page.path: page for page in composed.pages}
        self.keys = {path: plan.parts.key.hex() for path, plan in self.plans.items()}
        self._composed = composed

    @cached_property
    def others(self) -> Mapping[str, OutputFile | LazyFile]:
        """All files that are no pages; worked out when a browser first asks for one."""
        files = (file for file in self._composed.files() if file.path not in self.plans)
        return {file.path: file for file in files}


def _inside(path: Path, folder: Path) -> str | None:
    """A path relative to the content folder; empty for what holds it, None for what lies beside."""
    if folder.is_relative_to(path):
        return ""
    return path.relative_to(folder).as_posix() if path.is_relative_to(folder) else None


def _refreshed(
    site: SiteComposed, before: Mapping[str, str], pages: Mapping[str, str]
) -> Refreshed:
    checked = site.checked
    read = checked.placed.made.read
    return Refreshed(
        pages=pages,
        changed=frozenset(path for path, key in pages.items() if before.get(path) != key),
        removed=frozenset(before.keys() - pages.keys()),
        sources={plan.path: plan.source for plan in site.pages if plan.source is not None},
        findings=checked.findings,
        checked=checked.checked,
        line_of=lines_now(read.listing, {finding.span.file for finding in checked.findings}),
        watched=(read.request.content, *read.theme.watched),
    )
