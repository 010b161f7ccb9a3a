"""How fast the music goes at a moment: written time in milliseconds."""

from dataclasses import dataclass
from fractions import Fraction

from stavewright.notation.score import Tempo, TempoChange

_MILLISECONDS: Fraction = Fraction(60_000)
"""Of a minute."""


@dataclass(frozen=True, slots=True)
class Pace:
    """The tempo a block opens with, and its changes in order of time."""

    opening: Tempo | None = None
    changes: tuple[TempoChange, ...] = ()

    def milliseconds(self, start: Fraction, duration: Fraction) -> Fraction | None:
        """How long a note from `start` lasts at the tempo it begins in; None where none is said."""
        said = [change.tempo for change in self.changes if change.at <= start]
        tempo = said[-1] if said else self.opening
        if tempo is None:
            return None
        return duration / tempo.unit * _MILLISECONDS / tempo.per_minute
