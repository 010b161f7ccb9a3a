"""The text faces of pictures that leave the page: stills, clips and social pictures.

A page is set in the reader's own fonts. A picture must look the same on every machine, so it is
set in faces that travel with the package: subsets of Liberation Serif and Liberation Sans 2.1.5
under names of their own, as their licence asks (SIL Open Font License 1.1, `OFL.txt` beside this
file). Signs that text faces lack come from the signs' font.
"""

from functools import cache
from pathlib import Path
from typing import Final

from stavewright.figures.signs import TTF as SIGNS_TTF

SERIF: Final = "Stavewright Serif"
SANS: Final = "Stavewright Sans"
_HERE: Final = Path(__file__).parent
SERIF_REGULAR: Final = _HERE / "stavewright-serif-regular.ttf"
SERIF_ITALIC: Final = _HERE / "stavewright-serif-italic.ttf"
SERIF_BOLD: Final = _HERE / "stavewright-serif-bold.ttf"
SANS_REGULAR: Final = _HERE / "stavewright-sans-regular.ttf"
SANS_BOLD: Final = _HERE / "stavewright-sans-bold.ttf"
FILES: Final = (
    SERIF_REGULAR,
    SERIF_ITALIC,
    SERIF_BOLD,
    SANS_REGULAR,
    SANS_BOLD,
    SIGNS_TTF,
)
"""Everything a picture is set in."""
COVERAGE: Final = _HERE / "coverage.txt"
"""The characters of the text faces, as ranges: `0020-007E`, one a line."""
LICENCE: Final = _HERE / "OFL.txt"


@cache
def covered() -> frozenset[str]:
    """Every character that the text faces have."""
    found: set[str] = set()
    for line in COVERAGE.read_text("ascii").split():
        low, high = (int(code, 16) for code in line.split("-"))
        found.update(map(chr, range(low, high + 1)))
    return frozenset(found)
