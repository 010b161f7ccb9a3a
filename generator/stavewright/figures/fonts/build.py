"""Make the text faces from Liberation 2: `python -m stavewright.figures.fonts.build FOLDER`.

FOLDER holds the TrueType files of Liberation Serif and Sans 2.1.5, from the project's release or
from a distribution's package (Debian: `fonts-liberation2`). Needs fontTools (the extra `tests`);
an installed package ships the built files.

What is kept: Latin, Greek and Cyrillic with their common extensions, punctuation, arrows and
mathematical signs; kerning; no hinting, which the renderer of pictures does not use.
"""

import sys
from pathlib import Path
from typing import Final

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

from stavewright.figures.fonts import (
    COVERAGE,
    SANS,
    SANS_BOLD,
    SANS_REGULAR,
    SERIF,
    SERIF_BOLD,
    SERIF_ITALIC,
    SERIF_REGULAR,
)

_SOURCES: Final = {
    SERIF_REGULAR: ("LiberationSerif-Regular.ttf", SERIF, "Regular"),
    SERIF_ITALIC: ("LiberationSerif-Italic.ttf", SERIF, "Italic"),
    SERIF_BOLD: ("LiberationSerif-Bold.ttf", SERIF, "Bold"),
    SANS_REGULAR: ("LiberationSans-Regular.ttf", SANS, "Regular"),
    SANS_BOLD: ("LiberationSans-Bold.ttf", SANS, "Bold"),
}
_KEPT: Final = (
    (0x20, 0x7E),
    (0xA0, 0x24F),
    (0x2B0, 0x36F),
    (0x370, 0x3FF),
    (0x400, 0x45F),
    (0x490, 0x4FF),
    (0x1E00, 0x1EFF),
    (0x2010, 0x2044),
    (0x2070, 0x209C),
    (0x20A0, 0x20BF),
    (0x2116, 0x2116),
    (0x2122, 0x2122),
    (0x2150, 0x215F),
    (0x2190, 0x2195),
    (0x2200, 0x2265),
    (0x25A0, 0x25CF),
)
_NAMES: Final = {1: "{family}", 2: "{style}", 4: "{family} {style}", 16: "{family}", 17: "{style}"}
"""Which entries of the name table say what a font is called."""
_LICENCE_NAMES: Final = {0, 5, 13, 14}
"""Copyright, version, licence and its address stay as they were."""


def subset(source: Path, family: str, style: str) -> TTFont:
    """One face, cut to what we keep and renamed."""
    options = Options()
    options.hinting = False
    options.layout_features = ["kern", "mark", "mkmk", "ccmp", "locl"]
    options.name_IDs = sorted({*_NAMES, *_LICENCE_NAMES, 6})
    options.recalc_timestamp = False
    font = TTFont(source, recalcTimestamp=False)
    cutter = Subsetter(options)
    cutter.populate(unicodes=[code for low, high in _KEPT for code in range(low, high + 1)])
    cutter.subset(font)
    for record in list(font["name"].names):
        if record.nameID in _NAMES:
            record.string = _NAMES[record.nameID].format(family=family, style=style)
        elif record.nameID == 6:
            record.string = f"{family.replace(' ', '')}-{style}"
        elif record.nameID not in _LICENCE_NAMES:
            font["name"].names.remove(record)
    return font


def ranges(codes: set[int]) -> list[str]:
    """Code points as ranges in hexadecimal."""
    found: list[list[int]] = []
    for code in sorted(codes):
        if found and found[-1][1] == code - 1:
            found[-1][1] = code
        else:
            found.append([code, code])
    return [f"{low:04X}-{high:04X}" for low, high in found]


def main(folder: Path) -> None:
    """Write the faces and their coverage beside this file."""
    common: set[int] | None = None
    for target, (name, family, style) in _SOURCES.items():
        font = subset(folder / name, family, style)
        codes = set(font.getBestCmap())
        common = codes if common is None else common & codes
        font.save(target)
    COVERAGE.write_text("\n".join(ranges(common or set())) + "\n", "ascii")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
