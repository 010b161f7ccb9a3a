"""Digests of files: of our own program, and of a theme's templates."""

import hashlib
import os
import re
import sys
from collections.abc import Iterable, Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Final

import stavewright
from stavewright.site.store import digest
from stavewright.site.themes import Theme

FIGURE_TEMPLATE: Final = "figure.html"
_TOOLS: Final = {
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
_METADATA: Final = {"dist-info", "egg-info"}
_PROGRAM: Final = (".py", ".json", ".tsv", ".yaml", ".ttf")
_OTHER: Final = re.compile(r"\b(?:include|import|from|extends)\b(?:\s+([\"'])(?P<name>[^\"']*)\1)?")
"""Where a template takes in another; it may name it in a way that only running it can tell."""


@cache
def program() -> bytes:
    """A digest of our own code and of the versions of the tools that it works with."""
    package = Path(stavewright.__file__).parent
    code = digest_files(
        (name, path) for name, path in _files_below(package) if name.endswith(_PROGRAM)
    )
    running = "{}.{}.{}".format(*sys.version_info[:3])
    return digest(code, running, *_installed())


def digest_templates(theme: Theme) -> bytes:
    """A digest of every template the theme looks up, in the order of its folders."""
    return digest_files(
        (f"{place}/{name}", path)
        for place, folder in enumerate(theme.templates)
        for name, path in _files_below(folder)
    )


def digest_figure_template(theme: Theme) -> bytes:
    """A digest of the template that sets a figure and of those that it takes in."""
    found: dict[str, Path] = {}
    wanted = [FIGURE_TEMPLATE]
    while wanted:
        name = wanted.pop()
        path = next((it / name for it in theme.templates if (it / name).is_file()), None)
        if path is None or name in found:
            continue
        found[name] = path
        for tag in re.findall(r"\{%.*?%\}", path.read_text("utf-8", "replace"), re.DOTALL):
            other = _OTHER.search(tag)
            if other and other["name"] is None:
                return digest_templates(theme)
            wanted += [other["name"]] if other else []
    return digest_files(sorted(found.items()))


def digest_files(files: Iterable[tuple[str, str | Path]]) -> bytes:
    """A digest of files under their names."""
    whole = hashlib.blake2b(digest_size=16)
    for name, path in files:
        with open(path, "rb") as file:
            whole.update(digest(name, file.read()))
    return whole.digest()


def _files_below(folder: Path) -> list[tuple[str, str]]:
    """The files below a folder: name, with `/`, and path, in the order of a walk by names."""
    top = os.fspath(folder)
    found = []
    for parent, folders, names in os.walk(top):
        folders.sort()
        below = parent[len(top) + 1 :].replace(os.sep, "/")
        lead = f"{below}/" if below else ""
        found += [(f"{lead}{name}", f"{parent}{os.sep}{name}") for name in names]
    return sorted(found)


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
