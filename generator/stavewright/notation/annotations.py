"""What is said of the notes of a Score: chord symbols, numerals, figured bass and words."""

from dataclasses import dataclass, field
from fractions import Fraction

from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.key import Key
from stavewright.theory.numeral import Numeral


@dataclass(frozen=True, slots=True)
class ChordEvent:
    """A chord symbol and the time it names."""

    start: Fraction
    duration: Fraction
    """Runs on through the empty bars that follow."""
    chord: Chord | None
    """None prints N.C. (a `rest` in the line)."""
    text: str
    """The symbol as written; empty for a rest."""
    label: str | None = None
    span: Span | None = field(default=None, compare=False)

    @property
    def end(self) -> Fraction:
        """Where the symbol stops holding."""
        return self.start + self.duration


@dataclass(frozen=True, slots=True)
class NumeralEvent:
    """A Roman numeral, the local key it is read in, and the time it names."""

    start: Fraction
    duration: Fraction
    numeral: Numeral | None
    """None for a gap."""
    key: Key | None
    """The local key; None where the block names none (a finding says so)."""
    text: str
    pivot: Numeral | None = None
    """`vi key(G major)=ii`: the same chord read in `pivot_key`, which holds from here on."""
    pivot_key: Key | None = None
    pivot_span: Span | None = field(default=None, compare=False)
    """Where the second reading stands, its key included."""
    label: str | None = None
    span: Span | None = field(default=None, compare=False)

    @property
    def end(self) -> Fraction:
        """Where the numeral stops holding."""
        return self.start + self.duration


@dataclass(frozen=True, slots=True)
class BassFigure:
    """One figure of a figured bass, such as `#6`, `7` or a lone `b` for the third."""

    accidental: str = ""
    """`#`, `b`, `##`, `bb`, `n` (natural) or empty."""
    number: int | None = None
    """None where a lone accidental alters the third."""


@dataclass(frozen=True, slots=True)
class BassFigureEvent:
    """The figures over one note of the bass, from the top down; none for a gap."""

    start: Fraction
    duration: Fraction
    figures: tuple[BassFigure, ...]
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Syllable:
    """One sung syllable."""

    text: str
    """Empty where the last syllable is held on (`.`)."""
    hyphen: bool
    """Joined to the next syllable."""
    event: int | None
    """Index of the event it is sung on; None where the voice has no onset left."""
    gap: bool = False
    """A `rest` among the words: the note is not sung. Its `text` is empty."""
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Words:
    """One verse under one voice."""

    voice: str
    verse: int
    syllables: tuple[Syllable, ...]
    span: Span | None = field(default=None, compare=False)
