"""The site's own files: theme and figure assets under one folder named after what they hold.

All of them lie in `assets/<hash>/` with the names they have in the theme, so that style sheets may
name fonts and each other as they always do, and a browser may keep them for ever: whatever changes
in one of them gives the folder another name.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from stavewright.figures import FIGURE_CSS, WOFF2
from stavewright.site.addresses import ASSETS
from stavewright.site.scripts import join_player
from stavewright.site.write import OutputFile

_HASH_LENGTH = 12
_RECIPE = FIGURE_CSS.parent / "sound" / "recipe.json"
"""How everything sounds. Named here by its place, since what plays it need not be loaded for it."""


@dataclass(frozen=True, slots=True)
class Assets:
    """The assets of a site, placed."""

    addresses: tuple[tuple[str, str], ...]
    """Name in the theme, address in the site."""
    files: tuple[OutputFile, ...]


def figure_assets() -> dict[str, bytes]:
    """What figures need in every theme: style, the font that it names, how everything sounds."""
    recipe = b"export const RECIPE = " + _RECIPE.read_bytes().strip() + b";\n"
    files = {file.name: file.read_bytes() for file in (FIGURE_CSS, WOFF2)}
    return {**files, "sound-recipe.js": recipe}


def place_assets(contents: Mapping[str, bytes]) -> Assets:
    """Give each asset (name in the theme, content) its address. Raises `ThemeError`."""
    contents = join_player(contents)
    digest = hashlib.sha256()
    for name, data in sorted(contents.items()):
        digest.update(f"{name}\0{len(data)}\0".encode())
        digest.update(data)
    folder = f"{ASSETS}{digest.hexdigest()[:_HASH_LENGTH]}"
    placed = {name: f"{folder}/{name}" for name in sorted(contents)}
    written = tuple(OutputFile(placed[name], contents[name]) for name in placed)
    return Assets(tuple(placed.items()), written)
