"""From a picture as SVG to its pixels, with our own faces and no others."""

from typing import Final

import resvg_py

from stavewright.figures.fonts import FILES, SERIF

_FILES: Final = [str(file) for file in FILES]


def png(svg: str, *, system_fonts: bool = False) -> bytes:
    """The picture as a PNG of its own size, transparent where nothing is drawn.

    The bytes are the same on every machine unless `system_fonts` are let in, for letters that our
    faces lack.
    """
    return bytes(
        resvg_py.svg_to_bytes(
            svg_string=svg,
            skip_system_fonts=not system_fonts,
            font_files=_FILES,
            font_family=SERIF,
        )
    )
