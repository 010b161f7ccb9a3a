"""Build the signs' font from its outlines: `python -m stavewright.figures.signs.build`.

Needs fontTools and brotli (the extra `tests`); an installed package ships the built files.
"""

import io
from typing import Any

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.svgLib.path import parse_path
from fontTools.ttLib import TTFont

from stavewright.figures.signs import FAMILY, TTF, WOFF2
from stavewright.figures.signs.outlines import OUTLINES, Outline

_EM = 1000
_ASCENT, _DESCENT = 800, -200
_MADE = 3_849_984_000
"""1 January 2026, in seconds since 1904. Fonts carry the date they were made; ours must not differ
from one build to the next."""


def build() -> TTFont:
    """Make the font."""
    builder = FontBuilder(_EM, isTTF=True)
    names = [".notdef", *(outline.name for outline in OUTLINES)]
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({ord(outline.character): outline.name for outline in OUTLINES})
    glyphs = {".notdef": TTGlyphPen(None).glyph()}
    glyphs |= {outline.name: _glyph(outline) for outline in OUTLINES}
    builder.setupGlyf(glyphs)
    widths = {".notdef": 0} | {outline.name: outline.advance for outline in OUTLINES}
    table = builder.font["glyf"]
    builder.setupHorizontalMetrics(
        {name: (width, getattr(table[name], "xMin", 0)) for name, width in widths.items()}
    )
    builder.setupHorizontalHeader(ascent=_ASCENT, descent=_DESCENT)
    builder.setupNameTable(
        {
            "familyName": FAMILY,
            "styleName": "Regular",
            "uniqueFontIdentifier": FAMILY,
            "fullName": FAMILY,
            "psName": FAMILY.replace(" ", ""),
            "version": "Version 1.000",
            "licenseDescription": "MIT, as the rest of Stavewright",
        }
    )
    builder.setupOS2(sTypoAscender=_ASCENT, sTypoDescender=_DESCENT, sTypoLineGap=0)
    builder.setupPost()
    builder.font["head"].created = builder.font["head"].modified = _MADE
    builder.font.recalcTimestamp = False
    return builder.font


def _glyph(outline: Outline) -> Any:
    pen = TTGlyphPen(None)
    for path in outline.paths:
        parse_path(path, Cu2QuPen(pen, max_err=0.5))
    return pen.glyph()


def saved(font: TTFont, flavor: str | None) -> bytes:
    """The font as a file: `woff2`, or None for TrueType."""
    font.flavor = flavor
    stream = io.BytesIO()
    font.save(stream)
    return stream.getvalue()


def main() -> None:
    """Write both files beside this one."""
    TTF.write_bytes(saved(build(), None))
    WOFF2.write_bytes(saved(build(), "woff2"))


if __name__ == "__main__":
    main()
