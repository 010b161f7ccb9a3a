"""One way in which a label disagrees with what sounds."""

from dataclasses import dataclass
from enum import Enum

from stavewright.checking.sounding import Note
from stavewright.notation.finding import Severity
from stavewright.theory.chord_tone import ChordTone


class FaultKind(Enum):
    """The ways a label can disagree with what sounds."""

    RIVAL = "another form of a chord tone sounds in its place"
    FOREIGN = "a note that is not in the chord"
    UNNAMED = "a note that the label does not mention"
    MISSING = "a defining tone that never sounds"
    BASS = "another bass"
    SPELLING = "a tone in another spelling"


@dataclass(frozen=True, slots=True)
class Fault:
    """One way in which a label disagrees with what sounds."""

    kind: FaultKind
    severity: Severity
    note: Note | None = None
    """The note at fault; None where something is missing."""
    tone: ChordTone | None = None
    """The tone of the chord that is concerned."""
