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

from stavewright.articles.lines import Lines
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span
from stavewright.site.errors import ContentError
from stavewright.site.settings import SETTINGS_FILE

MARKDOWN = ".md"


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
    file: Path
    shown: str
    """As findings name it."""


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


def read_content(folder: Path) -> Content:
    """Read a content folder. Raises `ContentError` where there is none."""
    require_folder(folder)
    settings: Source | None = None
    articles: list[Source] = []
    files: list[ContentFile] = []
    findings: list[Finding] = []
    for path in _walk(folder, findings):
        name = path.relative_to(folder).as_posix()
        if name != SETTINGS_FILE and path.suffix.lower() != MARKDOWN:
            files.append(ContentFile(name, path, shown_name(path)))
            continue
        source = read_source(path, name)
        if isinstance(source, Finding):
            findings.append(source)
        elif name == SETTINGS_FILE:
            settings = source
        else:
            articles.append(source)
    # `os.walk` goes folder by folder; readers of this value rely on the order of whole paths.
    articles.sort(key=lambda article: article.path)
    files.sort(key=lambda file: file.path)
    return Content(folder, settings, tuple(articles), tuple(files), tuple(findings))


def require_folder(folder: Path) -> None:
    """Raise `ContentError` unless there is such a folder."""
    if not folder.is_dir():
        raise ContentError(
            f"there is no content folder {folder}; run this in the folder of your project, "
            "the one that holds it, or start one with `stavewright new` and a title"
        )


def read_source(path: Path, name: str) -> Source | Finding:
    """A text file, or the finding that says why it cannot be read."""
    file = shown_name(path)
    try:
        return Source(name, file, path.read_bytes())
    except OSError as error:
        return _left_out(file, f"This file cannot be read: {error.strerror or error}")


def shown_name(path: Path) -> str:
    """A path as the author would type it where the command runs, with `/`."""
    try:
        shown = path.absolute().relative_to(Path.cwd())
    except ValueError:
        shown = path
    return shown.as_posix().encode("utf-8", "replace").decode("utf-8")


def _walk(folder: Path, findings: list[Finding]) -> Iterator[Path]:
    """Plain files below a folder, in an order that is the same on every disk."""
    root = folder.resolve()
    for parent, folders, names in os.walk(folder):
        folders.sort()
        for name in list(folders):
            path = Path(parent, name)
            if name.startswith("."):
                folders.remove(name)
            elif path.is_symlink():
                folders.remove(name)
                findings.append(_left_out(shown_name(path), _FOLDER_LINK))
        for name in sorted(names):
            path = Path(parent, name)
            if name.startswith(".") or name.endswith("~"):
                continue
            fault = _fault_of(path, root)
            if fault is None:
                yield path
            else:
                findings.append(_left_out(shown_name(path), fault))


_FOLDER_LINK = "This is a link to a folder; links to folders are not followed, so copy the folder"


def _fault_of(path: Path, root: Path) -> str | None:
    """Why an entry of the content folder cannot be used; None for a plain file."""
    try:
        path.name.encode("utf-8")
    except UnicodeEncodeError:
        return "This file's name is not written in UTF-8; no address can hold it. Rename it."
    if "\\" in path.name or any(unicodedata.category(c) == "Cc" for c in path.name):
        return "This file's name has a backslash or a control character; no address can hold it"
    try:
        mode = path.stat().st_mode
        inside = path.resolve().is_relative_to(root)
    except (OSError, RuntimeError):
        return "This is a link that leads nowhere; put the file itself here"
    if not inside:
        return "This is a link that leads out of the content folder; put the file itself here"
    return None if stat.S_ISREG(mode) else "This is no plain file; move it elsewhere"


def _left_out(file: str, message: str) -> Finding:
    reason = "Only plain files inside the content folder become part of the site."
    return Finding("address", Severity.ERROR, Span(file, 1, 1, 1), message, reason=reason)
