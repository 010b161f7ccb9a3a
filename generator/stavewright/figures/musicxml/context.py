"""What the writers of a MusicXML part share: where they are, and how time is counted."""

import xml.etree.ElementTree as ET
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

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
        exact = length * 4 * self.divisions
        return str(exact) if exact.denominator == 1 else f"{float(exact):.6f}".rstrip("0")


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
    given = {name.rstrip("_").replace("_", "-"): value for name, value in attributes.items()}
    element = add(parent, tag, given)
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
    found = lcm(*((length * 4).denominator for length in lengths))
    return min(found, _MOST_DIVISIONS)
