"""What the writers of a MusicXML part share: where they are, and how time is counted."""

from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from stavewright.figures.musicxml.markup import element, leaf
from stavewright.notation.score import Score

_MOST_DIVISIONS = 16_384
"""More than any group in print needs, and what readers take."""


@dataclass(frozen=True, slots=True)
class Context:
    """A score and how finely its quarters are divided."""

    score: Score
    divisions: int
    is_bare: bool

    def count(self, length: Fraction) -> str:
        """A length in divisions; a decimal where a division is too coarse for it."""
        # Whole numbers where they serve: Fractions reckon much slower.
        count, rest = divmod(length.numerator * 4 * self.divisions, length.denominator)
        if not rest:
            return str(count)
        return f"{float(length * 4 * self.divisions):.6f}".rstrip("0")


class Place:
    """A measure being written, and the moment that its next element stands at."""

    def __init__(self, context: Context, at: Fraction) -> None:
        self.context = context
        self.at = at
        self.has_notes = False
        self._parts: list[str] = []

    @property
    def written(self) -> str:
        """What the measure holds so far."""
        return "".join(self._parts)

    def add(self, markup: str) -> None:
        """Write what takes no time."""
        self._parts.append(markup)

    def add_note(self, inside: str, attributes: str = "") -> None:
        """Write a note or a rest; where it ends the writer has to say."""
        self._parts.append(element("note", attributes, inside))
        self.has_notes = True

    def go(self, time: Fraction) -> None:
        """Step back or on to a moment of the measure."""
        if time != self.at:
            way = "forward" if time > self.at else "backup"
            duration = leaf("duration", self.context.count(abs(time - self.at)))
            self._parts.append(element(way, inside=duration))
            self.at = time


def divisions_of(score: Score) -> int:
    """The least number of parts of a quarter in which every length is whole."""
    lengths = [at for bar in score.bars for at in (bar.start, bar.length)]
    for voice in score.voices:
        lengths += [each for event in voice.events for each in (event.start, event.duration)]
    lengths += [chord.start for chord in score.chords]
    lengths += [numeral.start for numeral in score.numerals]
    lengths += [at for each in score.bass_figures for at in (each.start, each.duration)]
    # The least common part of whole notes, then of the quarters in them.
    parts = lcm(*{length.denominator for length in lengths})
    return min(parts // gcd(parts, 4), _MOST_DIVISIONS)
