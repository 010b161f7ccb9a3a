"""What the writers of a MusicXML part share: where they are, and how time is counted."""

import xml.etree.ElementTree as ET
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from stavewright.figures.mei.tree import add, plain
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

    def __init__(self, context: Context, measure: ET.Element, at: Fraction) -> None:
        self.context = context
        self.measure = measure
        self.at = at

    def go(self, time: Fraction) -> None:
        """Step back or on to a moment of the measure."""
        if time != self.at:
            step = add(self.measure, "forward" if time > self.at else "backup")
            text(step, "duration", self.context.count(abs(time - self.at)))
            self.at = time


def text(parent: ET.Element, tag: str, words: str, **attributes: str) -> ET.Element:
    """Add an element that holds words; a `_` in an attribute's name stands for a hyphen."""
    element = add(parent, tag)
    for name, value in attributes.items():
        element.set(name.rstrip("_").replace("_", "-"), plain(value))
    element.text = plain(words)
    return element


def divisions_of(score: Score) -> int:
    """The least number of parts of a quarter in which every length is whole."""
    lengths = [bar.length for bar in score.bars] + [bar.start for bar in score.bars]
    for voice in score.voices:
        lengths += [each for event in voice.events for each in (event.start, event.duration)]
    lengths += [chord.start for chord in score.chords]
    lengths += [numeral.start for numeral in score.numerals]
    lengths += [at for each in score.bass_figures for at in (each.start, each.duration)]
    # The least common part of whole notes, then of the quarters in them.
    parts = lcm(*(length.denominator for length in lengths))
    return min(parts // gcd(parts, 4), _MOST_DIVISIONS)
