"""The documents that are open, and what lies around them on the disk.

An open text counts before the saved one. Of the others only what an open document links to is read,
and the glossary; each is read again when its file has changed. A folder with settings makes a site
of all below it; any other document stands among the files beside it.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from stavewright.articles.article import Article, LinkKind
from stavewright.articles.links import LinkIndex, check_links
from stavewright.articles.sections import GLOSSARY
from stavewright.editors.document import Document
from stavewright.notation.finding import Finding, in_order
from stavewright.site.checks import links_to_drafts
from stavewright.site.content import list_content
from stavewright.site.errors import CannotRunError
from stavewright.site.settings import SETTINGS_FILE, Settings, read_settings

_LISTING_LASTS: Final = 2.0
"""Seconds for which the listing of a folder is believed; only names for completion hang on it."""
_LISTING_SHARE: Final = 50
"""And for how many times as long as it took, so that a huge folder costs a fiftieth of our time."""

_Stamp = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a document's links and terms may lead to."""

    root: Path
    """The content folder, or the document's own where there is none."""
    index: LinkIndex
    articles: dict[str, Article]
    """Those that were read, by their paths below the root."""


@dataclass(slots=True)
class _Folder:
    """A content folder as it was last seen."""

    settings: Settings
    stamp: _Stamp | None
    files: frozenset[str]
    believed_until: float
    """Until when the listing is believed."""


@dataclass(slots=True)
class Library:
    """Reads, keeps and forgets documents."""

    clock: Callable[[], float] = time.monotonic
    _open: dict[Path, Document] = field(default_factory=dict)
    _unread: dict[Path, str] = field(default_factory=dict)
    _saved: dict[Path, tuple[_Stamp, Document]] = field(default_factory=dict)
    _folders: dict[Path, _Folder] = field(default_factory=dict)

    @property
    def open_documents(self) -> tuple[Document, ...]:
        """All that are open, in the order of their places."""
        places = sorted({*self._open, *self._unread})
        return tuple(document for place in places if (document := self.get(place)))

    def put(self, place: Path, text: str) -> None:
        """A document was opened, or its text has changed; it is read when it is asked for."""
        self._unread[place] = text

    def close(self, place: Path) -> None:
        """A document was closed; what is on the disk counts again."""
        self._unread.pop(place, None)
        self._open.pop(place, None)

    def get(self, place: Path) -> Document | None:
        """An open document."""
        text = self._unread.pop(place, None)
        if text is not None:
            _, path, settings = self._where(place)
            self._open[place] = Document.read(place, path, text, raw_html=settings.raw_html)
        return self._open.get(place)

    def texts(self, place: Path) -> tuple[str, ...] | None:
        """The lines of a file as it is open or as it was read; none of one that was not read."""
        document = self.get(place) or (self._saved.get(place) or (None, None))[1]
        return document.texts if document else () if place.exists() else None

    def findings(self, document: Document) -> tuple[Finding, ...]:
        """Everything found in an open document, alone and among its neighbours."""
        around = self.surroundings(document)
        article = document.article
        found = [*document.findings, *check_links(article, around.index)]
        if not article.front.draft:
            drafts = {path for path, other in around.articles.items() if other.front.draft}
            found += links_to_drafts(article, drafts)
        return in_order(found)

    def surroundings(self, document: Document) -> Surroundings:
        """What a document can link to; of the articles, those that it does link to are read."""
        root, _, settings = self._where(document.place)
        folder = self._folders.get(root)
        files = folder.files if folder else frozenset[str]()
        wanted = {path for path in files if path.rsplit("/", 1)[-1] == GLOSSARY}
        for link, path in zip(document.article.links, document.article.reaches, strict=True):
            if link.kind is LinkKind.ARTICLE and path is not None:
                wanted.add(path)
        if folder is None and (root / GLOSSARY).is_file():
            wanted.add(GLOSSARY)
        articles = {document.article.path: document.article}
        for path in sorted(wanted - articles.keys()):
            found = self.article(root, path, settings)
            if found is not None:
                articles[path] = found
        unsaved = {
            other.place.relative_to(root).as_posix()
            for other in self.open_documents
            if other.place.is_relative_to(root)
        }
        index = LinkIndex.of(
            list(articles.values()),
            files | unsaved,
            lambda path: (root / path).exists(),
            whole=folder is not None,
        )
        return Surroundings(root, index, articles)

    def article(self, root: Path, path: str, settings: Settings | None = None) -> Article | None:
        """The article at a path, as it is open or as it is saved; None where there is none."""
        place = root / path
        document = self.get(place)
        if document is not None:
            return document.article
        stamp = _stamp(place)
        if stamp is None:
            return None
        known = self._saved.get(place)
        if known is None or known[0] != stamp:
            raw_html = (settings or Settings()).raw_html
            try:
                text = place.read_text("utf-8", errors="replace")
            except OSError:
                return None
            known = (stamp, Document.read(place, path, text, raw_html=raw_html))
            self._saved[place] = known
        return known[1].article

    def paths(self, document: Document) -> frozenset[str]:
        """The files that a document may link to, by their paths below the root."""
        root, _, _ = self._where(document.place)
        if root in self._folders:
            return self._folders[root].files
        beside = (file.name for file in root.iterdir() if file.is_file()) if root.is_dir() else ()
        return frozenset(name for name in beside if not name.startswith("."))

    def files_below(self, folder: Path) -> frozenset[str]:
        """The files of a content folder, by their paths below it."""
        return self._folder(folder).files

    def _where(self, place: Path) -> tuple[Path, str, Settings]:
        """The root of a document's links, its path below that, and the settings there."""
        for folder in place.parents:
            if (folder / SETTINGS_FILE).is_file():
                return folder, place.relative_to(folder).as_posix(), self._folder(folder).settings
        return place.parent, place.name, Settings()

    def _folder(self, folder: Path) -> _Folder:
        known = self._folders.get(folder)
        stamp = _stamp(folder / SETTINGS_FILE)
        now = self.clock()
        if known and known.stamp == stamp and now < known.believed_until:
            return known
        try:
            listing = list_content(folder)
        except CannotRunError:
            return known or _Folder(Settings(), None, frozenset(), now)
        text = listing.settings.text if listing.settings else ""
        settings, _ = read_settings(text, SETTINGS_FILE)
        files = frozenset(file.path for file in (*listing.articles, *listing.files))
        then = self.clock()
        believed_until = then + max(_LISTING_LASTS, _LISTING_SHARE * (then - now))
        self._folders[folder] = _Folder(settings, stamp, files, believed_until)
        return self._folders[folder]


def _stamp(place: Path) -> _Stamp | None:
    try:
        state = place.stat()
    except (OSError, ValueError):
        return None
    return state.st_mtime_ns, state.st_size
