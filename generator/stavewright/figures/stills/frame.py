"""The frame that a picture fills, and which of several drawings fills it best."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from stavewright.figures.figure import Drawing

MARGIN: Final = 0.05
"""Of each side: what lies within is safe to read on any screen (common practice for titles)."""
LARGEST: Final = 8192
"""Pixels; more than any video has."""
SMALLEST: Final = 64

_SIZE: Final = re.compile(r"(\d+)\s*[xX×]\s*(\d+)")


@dataclass(frozen=True, slots=True)
class Place:
    """Where a drawing stands in a frame, in the frame's pixels."""

    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Frame:
    """The size of a picture, in pixels."""

    width: int
    height: int

    @classmethod
    def parse(cls, text: str) -> "Frame":
        """Read `1920x1080`. Raises `ValueError` in words for the author."""
        found = _SIZE.fullmatch(text.strip())
        if found is None:
            raise ValueError(f"a size is written like 1920x1080, and this is {text!r}")
        width, height = int(found[1]), int(found[2])
        if not (SMALLEST <= width <= LARGEST and SMALLEST <= height <= LARGEST):
            raise ValueError(
                f"{width}x{height} is no size for a video; "
                f"each side has from {SMALLEST} to {LARGEST} pixels"
            )
        return cls(width, height)

    def scale(self, drawing: Drawing) -> float:
        """How large a drawing can be shown within the margins, from its natural size."""
        room = 1 - 2 * MARGIN
        return min(self.width * room / drawing.width, self.height * room / drawing.height)

    def place(self, drawing: Drawing) -> Place:
        """In the middle, as large as it can be."""
        scale = self.scale(drawing)
        width, height = drawing.width * scale, drawing.height * scale
        return Place((self.width - width) / 2, (self.height - height) / 2, width, height)

    def best(self, drawings: Sequence[Drawing]) -> Drawing:
        """The drawing that can be shown largest.

        Layouts of one figure have staves, keys and letters of one size each, so the one with the
        largest scale has them tallest. Of equals, the first.
        """
        return max(drawings, key=self.scale)
