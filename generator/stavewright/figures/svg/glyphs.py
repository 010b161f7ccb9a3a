"""The shapes of the music font's glyphs, which all drawings of a page share.

A drawing names its glyphs, `<use href="#E0A4" x="…" y="…"/>`, and brings none of them. A page has
one `glyph_sheet` of those its drawings use; a drawing that leaves the page takes its own (`alone`).
The shapes lie beside the engraver, a file a glyph, in thousandths of an em.
"""

import re
from collections.abc import Iterable
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from stavewright.figures.svg.paths import shortened

SCALE: Final = 0.72
"""From the font's units to the engraver's drawing units, for notes of full size. The shapes carry
it, so that a glyph of full size needs a place only."""

_FONT: Final = "Leipzig"
"""The engraver's own, under the SIL Open Font License."""
_USED: Final = re.compile(r'<use href="#([0-9A-F]{4,5})"')
_OUTLINE: Final = re.compile(r'<path transform="scale\(1,-1\)" d="([^"]*)"')


def glyphs_in(markup: str) -> tuple[str, ...]:
    """The names of the glyphs that drawings use, each once, in order."""
    return tuple(sorted(set(_USED.findall(markup))))


def glyph_sheet(names: Iterable[str]) -> str:
    """One hidden `<svg>` with the shapes of these glyphs, for the top of a page; "" for none.

    It takes no room by its style, not by `display: none`, which hides the shapes in some browsers.
    """
    shapes = shapes_of(names)
    if not shapes:
        return ""
    return f'<svg class="glyphs" aria-hidden="true" width="0" height="0">{shapes}</svg>'


def shapes_of(names: Iterable[str]) -> str:
    """The `<defs>` of these glyphs, "" for none; names that the font does not have are left out."""
    shapes = "".join(_shape(name) for name in names)
    return f"<defs>{shapes}</defs>" if shapes else ""


@cache
def _shape(name: str) -> str:
    file = _folder() / f"{name}.xml"
    outline = _OUTLINE.search(file.read_text(encoding="utf-8")) if file.is_file() else None
    if outline is None:
        return ""
    turned = f"scale({SCALE:g} {-SCALE:g})".replace("0.", ".")
    return f'<path id="{name}" transform="{turned}" d="{shortened(outline[1])}"/>'


@cache
def _folder() -> Path:
    """Where the font lies; found without loading the engraver."""
    spec = find_spec("verovio")
    if spec is None or not spec.submodule_search_locations:  # pragma: no cover - it is required
        raise RuntimeError("the package verovio is not installed")
    return Path(spec.submodule_search_locations[0]) / "data" / _FONT
