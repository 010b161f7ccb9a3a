"""How articles are made, whatever they say; and the keys under which what was made is kept."""

import hashlib
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import stavewright
from stavewright.site.store import digest
from stavewright.site.themes import Theme

_TOOLS = ("verovio", "markdown-it-py", "mdit-py-plugins", "jinja2", "MarkupSafe", "PyYAML", "nh3")
"""Whose versions show in what is made."""
_PROGRAM = {".py", ".json", ".tsv", ".yaml"}


@dataclass(frozen=True, slots=True)
class Manner:
    """Everything but an article's own text that shows in what is made of it."""

    program: bytes
    """Digest of our own code and of the tools it works with; see `program`."""
    theme: Theme
    """Whose template sets each figure."""
    raw_html: bool
    """Whether HTML in articles passes through."""
    places: bool
    """Whether elements say which line they come from, for the preview."""
    templates: bytes
    """Digest of the theme's templates."""

    @property
    def key(self) -> bytes:
        """A digest of all this."""
        return digest(self.program, f"{self.raw_html:d}{self.places:d}", self.templates)


@cache
def program() -> bytes:
    """A digest of our own code and of the versions of the tools that it works with."""
    package = Path(stavewright.__file__).parent
    files = sorted(path for path in package.rglob("*") if path.suffix in _PROGRAM)
    code = digest_files((path.relative_to(package).as_posix(), path) for path in files)
    running = "{}.{}.{}".format(*sys.version_info[:3])
    return digest(code, running, *(f"{tool} {_version(tool)}" for tool in _TOOLS))


def digest_templates(theme: Theme) -> bytes:
    """A digest of every template the theme looks up, in the order of its folders."""
    return digest_files(
        (f"{place}/{path.relative_to(folder).as_posix()}", path)
        for place, folder in enumerate(theme.templates)
        for path in _files_below(folder)
    )


def digest_files(files: Iterable[tuple[str, Path]]) -> bytes:
    """A digest of files under their names."""
    whole = hashlib.blake2b(digest_size=16)
    for name, path in files:
        whole.update(digest(name, path.read_bytes()))
    return whole.digest()


def _files_below(folder: Path) -> Iterator[Path]:
    return (path for path in sorted(folder.rglob("*")) if path.is_file())


def _version(tool: str) -> str:
    try:
        return version(tool)
    except PackageNotFoundError:
        return ""
