"""The clefs a staff may open with, and where each puts its letter.

Names are the trade's; `-8` and `+8` print the small 8 below or above the sign and sound an octave
lower or higher than the sign alone.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Clef:
    """A clef sign on a line."""

    name: str
    sign: str
    """`G`, `F`, `C`, or `perc` for a staff without pitch."""
    line: int
    """The staff line the sign names, from 1 at the bottom."""
    octaves: int = 0
    """Octaves by which the small figure moves what sounds: -1 for an 8 below."""
    meaning: str = ""
    """One line for the handbook."""


_TABLE: Final = (
    Clef("treble", "G", 2, 0, "violin, flute, right hand"),
    Clef("treble-8", "G", 2, -1, "tenor voice, guitar: an octave lower"),
    Clef("treble+8", "G", 2, 1, "piccolo: an octave higher"),
    Clef("treble-15", "G", 2, -2, "two octaves lower"),
    Clef("treble+15", "G", 2, 2, "two octaves higher"),
    Clef("french-violin", "G", 1, 0, "treble sign on the lowest line"),
    Clef("soprano", "C", 1, 0, "old choral soprano"),
    Clef("mezzo-soprano", "C", 2, 0, "old choral mezzo-soprano"),
    Clef("alto", "C", 3, 0, "viola"),
    Clef("tenor", "C", 4, 0, "high bassoon, cello, trombone"),
    Clef("baritone", "F", 3, 0, "old choral baritone"),
    Clef("bass", "F", 4, 0, "bass voice, bassoon, left hand"),
    Clef("bass-8", "F", 4, -1, "double bass at pitch"),
    Clef("bass+8", "F", 4, 1, "bass recorder"),
    Clef("subbass", "F", 5, 0, "bass sign on the top line"),
    Clef("percussion", "perc", 3, 0, "drums: no pitch"),
)

PERCUSSION: Final = "percussion"
"""The clef of a staff for drums."""

CLEFS: Final[dict[str, Clef]] = {clef.name: clef for clef in _TABLE}
"""By name."""

OTHER_CLEF_NAMES: Final[dict[str, str]] = {
    "drums": "percussion",
    "perc": "percussion",
    "g": "treble",
    "violin": "treble",
    "f": "bass",
    "c": "alto",
    "viola": "alto",
}
"""Words that teachers use for a clef, and the name it has here; `drums` may stand in `staves:`."""
