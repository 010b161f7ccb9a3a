"""The files that pages need to show figures: a style sheet, and a font of our own.

The font holds the signs that text faces lack or draw badly. Pages get the WOFF2 through
`figure.css`; renderers of stills that take no web fonts get the TrueType file.
"""

from pathlib import Path
from typing import Final

FAMILY: Final = "Stavewright Signs"
WOFF2: Final = Path(__file__).with_name("stavewright-signs.woff2")
TTF: Final = Path(__file__).with_name("stavewright-signs.ttf")
"""For `font_files` of a PNG renderer."""
FIGURE_CSS: Final = Path(__file__).parent.with_name("figure.css")
"""The style sheet that every theme needs; it loads the WOFF2 from beside itself."""
