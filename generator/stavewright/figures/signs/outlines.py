"""The outlines of the signs' own font: accidentals and note values that stand in text.

All of our own drawing. A thousand units to the em, the baseline at 0; paths are written as in SVG,
with the y axis upwards. Signs are as high as capitals, so that B♭ and F♯ look like one word, and
as light as the text of a serif face at 16 pixels.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Outline:
    """One sign."""

    name: str
    character: str
    advance: int
    """Width that text keeps for it."""
    paths: tuple[str, ...]
    """Closed contours; an inner one runs the other way round."""


_FLAT_STEM: Final = "M26 -20 L26 750 L76 750 L76 -20 Z"
_FLAT_BOWL: Final = (
    "M26 -20 L26 350 C66 412 122 448 174 448 C234 448 268 410 268 346 "
    "C268 268 212 204 138 126 C100 86 58 40 26 -20 Z"
)
_FLAT_EYE: Final = (
    "M76 92 C102 128 122 154 138 180 C162 218 176 268 176 320 C176 364 162 388 134 388 "
    "C112 388 90 372 76 346 Z"
)
_REVERSED_FLAT: Final = (
    "M268 -20 L218 -20 L218 750 L268 750 Z",
    "M268 -20 C236 40 194 86 156 126 C82 204 26 268 26 346 C26 410 60 448 120 448 "
    "C172 448 228 412 268 350 Z",
    "M218 92 L218 346 C204 372 182 388 160 388 C132 388 118 364 118 320 "
    "C118 268 132 218 156 180 C172 154 192 128 218 92 Z",
)


def _moved(path: str, by: int) -> str:
    """A path moved to the right."""
    words = path.split()
    moved = []
    is_x = True
    for word in words:
        command = word[0] if word[0].isalpha() else ""
        number = word[len(command) :]
        if command == "Z":
            moved.append(word)
            continue
        moved.append(command + str(int(number) + by) if is_x else word)
        is_x = not is_x
    return " ".join(moved)


_FLAT: Final = (_FLAT_STEM, _FLAT_BOWL, _FLAT_EYE)
_NATURAL: Final = (
    "M26 100 L26 750 L70 750 L70 100 Z",
    "M164 -62 L164 586 L208 586 L208 -62 Z",
    "M26 100 L26 204 L208 262 L208 158 Z",
    "M26 426 L26 530 L208 588 L208 484 Z",
)
_SHARP: Final = (
    "M76 -36 L76 694 L118 694 L118 -36 Z",
    "M182 6 L182 744 L224 744 L224 6 Z",
    "M16 144 L16 248 L284 330 L284 226 Z",
    "M16 390 L16 494 L284 576 L284 472 Z",
)
_HALF_SHARP: Final = (
    "M90 -10 L90 720 L132 720 L132 -10 Z",
    "M16 158 L16 262 L206 320 L206 216 Z",
    "M16 404 L16 508 L206 566 L206 462 Z",
)
_DOUBLE_SHARP: Final = (
    "M20 206 L20 300 L98 300 C110 322 122 342 140 358 C122 374 110 394 98 416 L20 416 L20 510 "
    "L114 510 L114 432 C132 416 150 404 174 398 C198 404 216 416 234 432 L234 510 L328 510 "
    "L328 416 L250 416 C238 394 226 374 208 358 C226 342 238 322 250 300 L328 300 L328 206 "
    "L234 206 L234 284 C216 300 198 312 174 318 C150 312 132 300 114 284 L114 206 Z",
)
_HEAD: Final = (
    "M24 62 C24 132 110 212 202 212 C266 212 304 176 304 122 C304 50 216 -28 126 -28 "
    "C62 -28 24 8 24 62 Z"
)
_HOLLOW: Final = (
    "M70 44 C82 22 106 16 134 28 C178 48 238 92 260 124 C272 144 258 166 232 166 "
    "C194 166 90 102 70 58 C68 54 68 48 70 44 Z"
)
_STEM: Final = "M268 110 L268 800 L304 800 L304 110 Z"
_FLAG: Final = (
    "M304 800 C308 690 346 640 396 580 C440 528 462 474 462 410 C462 346 444 294 420 250 "
    "L400 258 C420 304 430 344 430 390 C430 462 390 530 304 566 Z"
)
_SECOND_FLAG: Final = (
    "M304 640 C308 540 346 500 396 446 C436 402 458 356 458 300 C458 250 444 204 424 170 "
    "L404 178 C418 216 426 250 426 286 C426 348 386 402 304 432 Z"
)
_WHOLE: Final = (
    "M24 92 C24 160 112 212 218 212 C324 212 412 160 412 92 C412 24 324 -28 218 -28 "
    "C112 -28 24 24 24 92 Z"
)
_WHOLE_EYE: Final = (
    "M132 132 C120 82 158 8 212 -2 C268 -10 314 6 308 60 C302 112 262 176 208 186 "
    "C170 192 140 172 132 132 Z"
)
_ELISION: Final = (
    "M10 -66 C60 -150 120 -186 175 -186 C230 -186 290 -150 340 -66 L326 -58 "
    "C280 -120 228 -146 175 -146 C122 -146 70 -120 24 -58 Z"
)

OUTLINES: Final[tuple[Outline, ...]] = (
    Outline("musicFlat", "♭", 288, _FLAT),
    Outline("musicNatural", "♮", 234, _NATURAL),
    Outline("musicSharp", "♯", 300, _SHARP),
    Outline("musicDoubleSharp", "\U0001d12a", 348, _DOUBLE_SHARP),
    Outline(
        "musicDoubleFlat",
        "\U0001d12b",
        498,
        (*_FLAT, *(_moved(path, 210) for path in _FLAT)),
    ),
    Outline("musicHalfSharp", "\U0001d132", 222, _HALF_SHARP),
    Outline("musicHalfFlat", "\U0001d133", 294, _REVERSED_FLAT),
    Outline("noteWhole", "\U0001d15d", 436, (_WHOLE, _WHOLE_EYE)),
    Outline("noteHalf", "\U0001d15e", 330, (_HEAD, _HOLLOW, _STEM)),
    Outline("noteQuarter", "♩", 330, (_HEAD, _STEM)),
    Outline("noteEighth", "♪", 480, (_HEAD, _STEM, _FLAG)),
    Outline("lyricElision", "\u203f", 350, (_ELISION,)),
    Outline("noteSixteenth", "\U0001d161", 480, (_HEAD, _STEM, _FLAG, _SECOND_FLAG)),
)
"""Every sign, in the order of the font."""

CHARACTERS: Final = frozenset(outline.character for outline in OUTLINES)
