"""A site kept in memory beside an author who writes: only what changed is made again.

One thread calls `refresh`; any thread may ask for pages and files meanwhile, and sees the site as
the last refresh left it, whole.
"""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from stavewright.figures.figure import Engraver
from stavewright.notation.finding import Finding
from stavewright.site.pipeline import Rendered, render_site
from stavewright.site.report import Checked, LineOf, lines_of
from stavewright.site.stages.values import Options, Tools


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

    def __init__(self, content: Path, options: Options, engraver: Engraver) -> None:
        self._content = content
        self._options = options
        self._tools = Tools(engraver)
        self._files: Mapping[str, bytes | Path] = {}
        self._pages: Mapping[str, str] = {}

    def refresh(self, changed: Iterable[Path] | None = None) -> Refreshed:
        """Read again what changed (files or folders; everything if None) and what depends on it.

        Raises `CannotRunError` where there is no site to make (no content folder, a theme that
        cannot be used) and `OSError` where a disk refuses; the site is then as it was.
        """
        del changed
        site = render_site(self._content, self._options, self._tools)
        files = {file.path: file.data for file in site.files}
        pages = {
            path: hashlib.sha256(data).hexdigest()[:16]
            for path, data in files.items()
            if isinstance(data, bytes) and path.endswith(".html")
        }
        before, self._files, self._pages = self._pages, files, pages
        return _refreshed(site, before, pages)

    def page(self, path: str) -> bytes | None:
        """The page at a path below the site's root; None where there is no such page.

        Raises `ThemeError` where a template cannot be filled in.
        """
        data = self._files.get(path) if path in self._pages else None
        return data if isinstance(data, bytes) else None

    def file(self, path: str) -> bytes | Path | None:
        """Any other file of the site: what it holds, or the file it is a copy of."""
        return None if path in self._pages else self._files.get(path)

    def close(self) -> None:
        """Let go of everything that is kept open."""


def _refreshed(site: Rendered, before: Mapping[str, str], pages: Mapping[str, str]) -> Refreshed:
    return Refreshed(
        pages=pages,
        changed=frozenset(path for path, key in pages.items() if before.get(path) != key),
        removed=frozenset(before.keys() - pages.keys()),
        sources={page.output: page.file for page in site.pages},
        findings=site.findings,
        checked=site.checked,
        line_of=lines_of(site.texts),
        watched=site.watched,
    )
