"""What music theory says, on spelled pitch and in exact arithmetic.

This room is pure: it opens no file, reads no clock, depends on no other room and on no third-party
library. All values are frozen and hashable; text that means nothing raises `TheoryError` with its
place and, where something near is known, a suggestion.
"""

from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.pitch import Letter, Pitch, PitchName

__all__ = [
    "Interval",
    "Letter",
    "Pitch",
    "PitchName",
    "TheoryError",
]
