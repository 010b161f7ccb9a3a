"""The content folder, read: Markdown files as text, every other file by name.

Only plain files inside the folder count. A link that leads outside would publish what the author
never put here; a link to a folder could go round in circles; a pipe would wait for ever. Each of
them is a finding and is left out. Names that begin with a dot belong to editors and tools.
"""

import os
import stat
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from stavewright.articles.lines import Lines
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span
from stavewright.site.errors import ContentError
from stavewright.site.settings import SETTINGS_FILE

MARKDOWN = ".md"
MOST_BYTES: Final = 2_000_000
"""Of one text. Longer ones are data that was saved under the wrong name, or a trap."""


@dataclass(frozen=True, slots=True)
class Source:
    """A text the author wrote, as the bytes of its file."""

    path: str
    """Relative to the content folder, with `/`."""
    file: str
    """As findings name it: relative to where the command runs if it lies below, else as given."""
    data: bytes

    @property
    def text(self) -> str:
        """The text, its lines as findings count them; what is not UTF-8 is replaced."""
        return "\n".join(Lines.of(self.data.decode("utf-8", "replace"), self.file).texts)


@dataclass(frozen=True, slots=True)
class ContentFile:
    """A file that is copied into the site as it is."""

    path: str
    """Relative to the content folder, with `/`."""
    folder: Path
    """The content folder."""
    shown: str
    """As findings name it."""

    @property
    def file(self) -> Path:
        """The file itself."""
        return self.folder / self.path


@dataclass(frozen=True, slots=True)
class Content:
    """Everything in a content folder."""

    folder: Path
    settings: Source | None
    articles: tuple[Source, ...]
    """Sorted by path."""
    files: tuple[ContentFile, ...]
    """Sorted by path."""
    findings: tuple[Finding, ...]

    @property
    def texts(self) -> dict[str, str]:
        """Each text by the name that findings give its file."""
        sources = [*self.articles, *([self.settings] if self.settings else [])]
        return {source.file: source.text for source in sources}


@dataclass(frozen=True, slots=True)
class Listing:
    """What lies in a content folder, articles unread."""

    folder: Path
    settings: Source | None
    articles: tuple[ContentFile, ...]
    """The Markdown files, sorted by path."""
    files: tuple[ContentFile, ...]
    """All others, sorted by path."""
    findings: tuple[Finding, ...]


def read_content(folder: Path) -> Content:
    """Read a content folder. Raises `ContentError` where there is none."""
    listing = list_content(folder)
    findings = list(listing.findings)
    articles = []
    for file in listing.articles:
        source = read_listed(file)
        if isinstance(source, Finding):
            findings.append(source)
        else:
            articles.append(source)
    return Content(folder, listing.settings, tuple(articles), listing.files, tuple(findings))


def list_content(folder: Path) -> Listing:
    """What lies in a content folder. Raises `ContentError` where there is none."""
    require_folder(folder)
    shown = shown_name(folder)
    prefix = "" if shown == "." else f"{shown}/"
    settings: Source | None = None
    articles = []
    files = []
    findings: list[Finding] = []
    for name in _walk(folder, prefix, findings):
        file = ContentFile(name, folder, f"{prefix}{name}")
        if name == SETTINGS_FILE:
            source = read_listed(file)
            if isinstance(source, Finding):
                findings.append(source)
            else:
                settings = source
        elif name.lower().endswith(MARKDOWN):
            articles.append(file)
        else:
            files.append(file)
    # `os.walk` goes folder by folder; readers of this value rely on the order of whole paths.
    articles.sort(key=lambda file: file.path)
    files.sort(key=lambda file: file.path)
    return Listing(folder, settings, tuple(articles), tuple(files), tuple(findings))


def read_listed(file: ContentFile) -> Source | Finding:
    """A text file of a content folder, or the finding that says why it cannot be read."""
    return _read(file.file, file.path, file.shown)


def require_folder(folder: Path) -> None:
    """Raise `ContentError` unless there is such a folder."""
    if not folder.is_dir():
        raise ContentError(
            f"there is no content folder {folder}; run this in the folder of your project, "
            "the one that holds it, or start one with `stavewright new` and a title"
        )


def read_source(path: Path, name: str) -> Source | Finding:
    """A text file, or the finding that says why it cannot be read."""
    return _read(path, name, shown_name(path))


def _read(place: Path, path: str, shown: str) -> Source | Finding:
    try:
        with place.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
            size = os.fstat(file.fileno()).st_size
    except OSError as error:
        return _left_out(shown, f"This file cannot be read: {error.strerror or error}")
    if len(data) > MOST_BYTES:
        message = f"This file is too long: {max(size, len(data)) / 1e6:.1f} MB. Divide it"
        return _left_out(shown, message, _TOO_LONG)
    return Source(path, shown, data)


def shown_name(path: Path) -> str:
    """A path as the author would type it where the command runs, with `/`."""
    try:
        shown = path.absolute().relative_to(Path.cwd())
    except ValueError:
        shown = path
    return _text(shown.as_posix())


def _walk(folder: Path, shown: str, findings: list[Finding]) -> Iterator[str]:
    """Paths of plain files below a folder, with `/`, in an order that is the same on every disk.

    `shown` stands before a path where a finding names it.
    """
    root = folder.resolve()
    for parent, folders, names in os.walk(folder):
        above = os.path.relpath(parent, folder).replace(os.sep, "/")
        prefix = "" if above == "." else f"{above}/"
        folders.sort()
        for name in list(folders):
            if name.startswith("."):
                folders.remove(name)
            elif os.path.islink(os.path.join(parent, name)):
                folders.remove(name)
                findings.append(_left_out(_text(f"{shown}{prefix}{name}"), _FOLDER_LINK))
        for name in sorted(names):
            if name.startswith(".") or name.endswith("~"):
                continue
            fault = _fault_of(os.path.join(parent, name), name, root)
            if fault is None:
                yield f"{prefix}{name}"
            else:
                findings.append(_left_out(_text(f"{shown}{prefix}{name}"), fault))


def _text(path: str) -> str:
    """A path without what no text can hold."""
    return path.encode("utf-8", "replace").decode("utf-8")


_FOLDER_LINK = "This is a link to a folder; links to folders are not followed, so copy the folder"


def _fault_of(place: str, name: str, root: Path) -> str | None:
    """Why an entry of the content folder cannot be used; None for a plain file."""
    if not name.isprintable() or "\\" in name:
        try:
            name.encode("utf-8")
        except UnicodeEncodeError:
            return "This file's name is not written in UTF-8; no address can hold it. Rename it."
        if "\\" in name or any(unicodedata.category(c) == "Cc" for c in name):
            return "This file's name has a backslash or a control character; no address can hold it"
    try:
        mode = os.lstat(place).st_mode
        inside = True
        if stat.S_ISLNK(mode):
            path = Path(place)
            mode = path.stat().st_mode
            inside = path.resolve().is_relative_to(root)
    except (OSError, RuntimeError):
        return "This is a link that leads nowhere; put the file itself here"
    if not inside:
        return "This is a link that leads out of the content folder; put the file itself here"
    return None if stat.S_ISREG(mode) else "This is no plain file; move it elsewhere"


_NOT_PLAIN = "Only plain files inside the content folder become part of the site."
_TOO_LONG = "A text may have two million bytes, which is more than a thousand printed pages."


def _left_out(file: str, message: str, reason: str = _NOT_PLAIN) -> Finding:
    return Finding("address", Severity.ERROR, Span(file, 1, 1, 1), message, reason=reason)
