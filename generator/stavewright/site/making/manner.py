"""How articles are made, whatever they say; and the keys under which what was made is kept."""

import hashlib
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import stavewright
from stavewright.site.social_style import SocialStyle
from stavewright.site.store import digest
from stavewright.site.themes import Theme

_TOOLS = {
    "jinja2",
    "markdown-it-py",
    "markupsafe",
    "mdit-py-plugins",
    "nh3",
    "pyyaml",
    "resvg-py",
    "verovio",
}
"""Whose versions show in what is made."""
_METADATA = {"dist-info", "egg-info"}
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
    social: SocialStyle | None = None
    """How pictures for shared links look; None where none are made."""

    @property
    def key(self) -> bytes:
        """A digest of all this."""
        flags = f"{self.raw_html:d}{self.places:d}"
        return digest(self.program, flags, self.templates, repr(self.social))


@cache
def program() -> bytes:
    """A digest of our own code and of the versions of the tools that it works with."""
    package = Path(stavewright.__file__).parent
    code = digest_files(
        (path.relative_to(package).as_posix(), path)
        for path in _files_below(package)
        if path.suffix in _PROGRAM
    )
    running = "{}.{}.{}".format(*sys.version_info[:3])
    return digest(code, running, *_installed())


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


def _files_below(folder: Path) -> list[Path]:
    walked = os.walk(folder)
    return sorted(Path(parent, name) for parent, _, names in walked for name in names)


def _installed() -> Iterator[str]:
    """Name and version of each tool, as the folder of its metadata is called.

    The standard library's reader of that metadata takes longer to load than all else here.
    """
    for place in sys.path:
        with suppress(OSError):
            for name in sorted(os.listdir(place or ".")):
                stem, _, ending = name.rpartition(".")
                tool = stem.partition("-")[0].lower().replace("_", "-")
                if ending in _METADATA and tool in _TOOLS:
                    yield name
