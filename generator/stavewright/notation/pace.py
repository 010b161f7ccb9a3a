"""How fast the music goes at a moment: written time in milliseconds."""

from bisect import bisect_right
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
        index = bisect_right(self.changes, start, key=lambda change: change.at)
        tempo = self.changes[index - 1].tempo if index else self.opening
        if tempo is None:
            return None
        return duration / tempo.unit * _MILLISECONDS / tempo.per_minute
