"""Where each percussion instrument stands on the staff, and with what head.

The usual drum-kit key: cymbals with crosses above the staff, drums from high to low, pedals below
(Weinberg, Guide to Standardized Drumset Notation, 1998, from memory). Instruments outside the kit
take a line of their own choosing near their register.
"""

from dataclasses import dataclass
from typing import Final

from stavewright.notation.score import Drum, Score

FEET: Final = frozenset({35, 36, 44})
"""Bass drums and the pedalled hi-hat: played by the feet, written with stems down."""


@dataclass(frozen=True, slots=True)
class DrumPlace:
    """How an instrument is written."""

    position: int
    """Letters above the bottom line."""
    shape: str | None = None
    """MEI's name of the head; None for an ordinary one."""
    open: bool = False
    """A small circle above: an open hi-hat."""


_CROSS, _DIAMOND, _PLUS = "x", "diamond", "+"
_PLACES: Final[dict[int, DrumPlace]] = {
    35: DrumPlace(1),
    36: DrumPlace(1),
    37: DrumPlace(5, _CROSS),
    38: DrumPlace(5),
    39: DrumPlace(5, _PLUS),
    40: DrumPlace(5),
    41: DrumPlace(2),
    42: DrumPlace(9, _CROSS),
    43: DrumPlace(3),
    44: DrumPlace(-1, _CROSS),
    45: DrumPlace(4),
    46: DrumPlace(9, _CROSS, open=True),
    47: DrumPlace(6),
    48: DrumPlace(6),
    49: DrumPlace(10, _CROSS),
    50: DrumPlace(7),
    51: DrumPlace(8, _CROSS),
    52: DrumPlace(11, _CROSS),
    53: DrumPlace(8, _DIAMOND),
    54: DrumPlace(4, _CROSS),
    55: DrumPlace(11, _CROSS),
    56: DrumPlace(6, _PLUS),
    57: DrumPlace(10, _CROSS),
    58: DrumPlace(6, _DIAMOND),
    59: DrumPlace(8, _CROSS),
    60: DrumPlace(6),
    61: DrumPlace(2),
    62: DrumPlace(6, _CROSS),
    63: DrumPlace(6),
    64: DrumPlace(2),
    65: DrumPlace(6),
    66: DrumPlace(2),
    67: DrumPlace(6, _PLUS),
    68: DrumPlace(2, _PLUS),
    69: DrumPlace(4, _CROSS),
    70: DrumPlace(4, _CROSS),
    71: DrumPlace(7, _CROSS),
    72: DrumPlace(7, _CROSS),
    73: DrumPlace(4, _DIAMOND),
    74: DrumPlace(4, _DIAMOND),
    75: DrumPlace(6, _CROSS),
    76: DrumPlace(6, _CROSS),
    77: DrumPlace(4, _CROSS),
    78: DrumPlace(4, _PLUS),
    79: DrumPlace(4, open=True),
    80: DrumPlace(8, _PLUS),
    81: DrumPlace(8, _DIAMOND),
}
"""By General MIDI key number, 35 to 81."""


def drum_place(drum: Drum, *, one_line: bool) -> DrumPlace:
    """How an instrument is written, on a staff of five lines or on a line of its own."""
    place = _PLACES.get(drum.key_number, DrumPlace(4))
    return DrumPlace(0, place.shape, place.open) if one_line else place


def instruments(score: Score, staff: int) -> frozenset[int]:
    """Key numbers of the instruments that sound on a staff."""
    return frozenset(
        head.sound.key_number
        for voice in score.voices
        if voice.staff == staff
        for event in voice.events
        for head in event.heads
        if isinstance(head.sound, Drum)
    )


def is_one_line(score: Score, staff: int) -> bool:
    """Whether a percussion staff reads best as a single line: it has one instrument."""
    is_percussion = score.staves[staff].clef == "percussion"
    return is_percussion and len(instruments(score, staff)) <= 1
