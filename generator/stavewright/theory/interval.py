"""Intervals: the distance between two spelled pitches, by letters and by sound.

An interval is two exact numbers: how many letters it spans and how many cents it sounds. Its
number, size and direction come from the letters; its quality is what the sound adds to them. So
C4 to B##3 is a descending (doubly diminished) second although it sounds upwards.

A unison has no letters to give it a direction and takes it from the sound: C#4 to C4 is an
augmented unison downwards. There is no diminished unison.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from stavewright.theory.interval_names import (
    DIATONIC_CENTS,
    number_word,
    quality_short,
    quality_words,
    read_interval,
)


def half_steps(cents: int) -> int | Fraction:
    """Turn cents into half steps: a whole number where it is one, else an exact fraction."""
    whole, rest = divmod(cents, 100)
    return Fraction(cents, 100) if rest else whole


def diatonic_cents(steps: int) -> int:
    """Cents of the major or perfect interval that spans `steps` letters upwards (0 or more)."""
    octaves, rest = divmod(steps, 7)
    return octaves * 1200 + DIATONIC_CENTS[rest]


@dataclass(frozen=True, slots=True, order=True)
class Interval:
    """A distance from one spelled pitch to another; upwards positive, downwards negative.

    Intervals are ordered by letters first, then by sound: every third is smaller than every fourth.
    """

    steps: int
    """Letters passed: 0 a unison, 4 a fifth, 7 an octave, -1 a second down."""
    cents: int
    """Sounding size, upwards positive."""

    @classmethod
    def parse(cls, text: str) -> Interval:
        """Read `A5`, `-M2`, `dd7`, `n3`, `P5(+30)` or a name such as `augmented fifth`.

        A name may open with `descending`. Raises TheoryError for anything else, also for
        qualities that a number cannot have (`M5`, `P3`, `d1`).
        """
        steps, altered, sign = read_interval(text)
        return cls(sign * steps, sign * (diatonic_cents(steps) + altered))

    @classmethod
    def of_degree(cls, number: int, altered: int = 0) -> Interval:
        """Give the interval from a tonic or root up to a degree of its major scale.

        `number` counts from 1 (9 is the degree above the octave); `altered` is in cents, so that
        flat seven is `of_degree(7, -100)`.
        """
        if number < 1:
            raise ValueError("degrees count from 1")
        return cls(number - 1, diatonic_cents(number - 1) + altered)

    @property
    def is_descending(self) -> bool:
        """Whether it leads down: by letters, and in a unison by sound."""
        return self.steps < 0 or (self.steps == 0 and self.cents < 0)

    @property
    def magnitude(self) -> Interval:
        """The same interval upwards."""
        return -self if self.is_descending else self

    @property
    def number(self) -> int:
        """1 for a unison, 5 for a fifth, 10 for a tenth; never negative."""
        return abs(self.steps) + 1

    @property
    def altered(self) -> int:
        """Cents by which it is wider than the major or perfect interval of its number."""
        upwards = self.magnitude
        return upwards.cents - diatonic_cents(upwards.steps)

    @property
    def quality(self) -> str:
        """`perfect`, `minor`, `doubly augmented`, `neutral` …

        An interval between these takes the nearest quality; `name` adds the cents that are over.
        """
        return quality_words(abs(self.steps), self.altered)[0]

    @property
    def name(self) -> str:
        """The name without its direction: `augmented fifth`, `perfect fifth plus 30 cents`."""
        quality, rest = quality_words(abs(self.steps), self.altered)
        name = f"{quality} {number_word(self.number)}"
        if rest:
            name += f" {'plus' if rest > 0 else 'minus'} {abs(rest)} cents"
        return name

    @property
    def short(self) -> str:
        """`A5`, `-M2`, `dd7`, `n3`, `P5(+30)`."""
        quality, rest = quality_short(abs(self.steps), self.altered)
        sign = "-" if self.is_descending else ""
        return f"{sign}{quality}{self.number}" + (f"({rest:+d})" if rest else "")

    @property
    def semitones(self) -> int | Fraction:
        """Sounding size in half steps, downwards negative; a fraction for quarter tones."""
        return half_steps(self.cents)

    @property
    def is_compound(self) -> bool:
        """Whether its number is beyond the octave."""
        return self.number > 8

    @property
    def simple(self) -> Interval:
        """The same interval without the octaves that make it compound; an octave stays one."""
        octaves = max(0, (abs(self.steps) - 1) // 7)
        sign = -1 if self.is_descending else 1
        return Interval(self.steps - sign * 7 * octaves, self.cents - sign * 1200 * octaves)

    @property
    def inversion(self) -> Interval:
        """What completes its simple form to an octave, in the same direction.

        An augmented octave exceeds the octave and is inverted as the augmented unison that it is
        above it: to a diminished octave.
        """
        simple = self.simple.magnitude
        if simple.steps == 7 and simple.cents > 1200:
            simple = Interval(0, simple.cents - 1200)
        complement = Interval(7 - simple.steps, 1200 - simple.cents)
        return -complement if self.is_descending else complement

    def __add__(self, other: Interval) -> Interval:
        if not isinstance(other, Interval):
            return NotImplemented
        return Interval(self.steps + other.steps, self.cents + other.cents)

    def __sub__(self, other: Interval) -> Interval:
        if not isinstance(other, Interval):
            return NotImplemented
        return Interval(self.steps - other.steps, self.cents - other.cents)

    def __neg__(self) -> Interval:
        return Interval(-self.steps, -self.cents)

    def __str__(self) -> str:
        return self.short
