"""The signs' font: what is shipped is what the outlines say."""

import re

import pytest
from fontTools.ttLib import TTFont

from stavewright.figures.signs import FAMILY, FIGURE_CSS, TTF, WOFF2
from stavewright.figures.signs.build import build, saved
from stavewright.figures.signs.outlines import CHARACTERS, OUTLINES


def _shape(font: TTFont) -> dict[str, object]:
    glyphs = font["glyf"]
    return {
        "map": font.getBestCmap(),
        "widths": dict(font["hmtx"].metrics),
        "outlines": {name: _points(glyphs, name) for name in font.getGlyphOrder()},
        "name": font["name"].getDebugName(1),
    }


def _points(glyphs: object, name: str) -> list[tuple[int, int]]:
    coordinates, _, _ = glyphs[name].getCoordinates(glyphs)
    return [(int(x), int(y)) for x, y in coordinates]


@pytest.mark.parametrize("path", [TTF, WOFF2], ids=lambda path: path.suffix)
def test_the_shipped_font_is_the_built_one(path: object) -> None:
    """If not: python -m stavewright.figures.signs.build."""
    with TTFont(str(path)) as font:
        assert _shape(font) == _shape(build())


def test_the_built_font_is_the_same_each_time() -> None:
    assert saved(build(), None) == saved(build(), None)


def test_every_sign_is_drawn_within_its_width_and_named_in_the_style_sheet() -> None:
    glyphs = build()["glyf"]
    ranges = re.findall(r"U\+([0-9A-F]+)(?:-([0-9A-F]+))?", FIGURE_CSS.read_text())
    covered = {
        chr(code) for low, high in ranges for code in range(int(low, 16), int(high or low, 16) + 1)
    }
    assert covered >= CHARACTERS
    for outline in OUTLINES:
        glyph = glyphs[outline.name]
        assert 0 <= glyph.xMin < glyph.xMax <= outline.advance
    assert FAMILY in FIGURE_CSS.read_text()
    assert WOFF2.name in FIGURE_CSS.read_text()


def test_the_font_stays_small() -> None:
    assert WOFF2.stat().st_size < 2000
