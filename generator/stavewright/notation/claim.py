"""Claims in prose: `chord: F7 = F A C Eb`, as values.

What a claim says is read here; whether it is true is for `checking` to find out. Each noun has its
own kinds of subject and statement, listed in `Subject` and `Statement`.
"""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from stavewright.notation.finding import Finding
from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key, Relation
from stavewright.theory.numeral import Numeral
from stavewright.theory.pitch import Pitch, PitchName
from stavewright.theory.scale import Scale


class Noun(Enum):
    """What a claim is about."""

    NOTE = "note"
    INTERVAL = "interval"
    SCALE = "scale"
    KEY = "key"
    CHORD = "chord"
    NUMERAL = "numeral"
    RHYTHM = "rhythm"


class Sign(Enum):
    """How the two sides of a claim are said to stand."""

    EQUAL = "="
    UNEQUAL = "≠"
    """Also typed `!=`."""
    SOUNDS_LIKE = "≈"
    """The same sound whatever the spelling; also typed `~=`."""


@dataclass(frozen=True, slots=True)
class Frequency:
    """`440 Hz`."""

    hertz: Fraction
    decimals: int
    """Digits written after the point: how exact the statement means to be."""


@dataclass(frozen=True, slots=True)
class KeyNumber:
    """`key 69`: MIDI's note number."""

    number: int


@dataclass(frozen=True, slots=True)
class Between:
    """`F4 to D#5`, or `F to D#` for the interval up to the next D sharp."""

    low: Pitch | PitchName
    high: Pitch | PitchName
    """A pitch if `low` is one, else a name."""


@dataclass(frozen=True, slots=True)
class Size:
    """`10 half steps`, `350 cents`."""

    cents: Fraction


@dataclass(frozen=True, slots=True)
class Names:
    """Note names in a row: `F A C Eb`."""

    names: tuple[PitchName, ...]
    spans: tuple[Span, ...]
    """Where each stands."""


@dataclass(frozen=True, slots=True)
class Accidentals:
    """`9 sharps`, `1 flat`, `no sharps`."""

    signature: int
    """Sharps positive, flats negative."""


@dataclass(frozen=True, slots=True)
class RelatedKey:
    """`relative of C major`, `dominant of C# major`."""

    relation: Relation
    key: Key


@dataclass(frozen=True, slots=True)
class NumeralIn:
    """`V7 in C minor`."""

    numeral: Numeral
    key: Key


@dataclass(frozen=True, slots=True)
class Values:
    """Note values one after another: `1/4 + 1/8`, `dotted quarter`, `3 × 1/8`."""

    values: tuple[Fraction, ...]

    @property
    def total(self) -> Fraction:
        """How long they last together, in whole notes."""
        return sum(self.values, Fraction(0))


Subject = Pitch | PitchName | Between | Interval | Scale | Key | Chord | NumeralIn | Values
"""By noun: note: Pitch or PitchName; interval: Between or Interval; scale: Scale; key: Key;
chord: Chord; numeral: NumeralIn; rhythm: Values."""

Statement = (
    Frequency
    | KeyNumber
    | Pitch
    | PitchName
    | Interval
    | Between
    | Size
    | Names
    | Scale
    | Accidentals
    | RelatedKey
    | Key
    | Chord
    | NumeralIn
    | Values
)
"""By noun: note: Frequency, KeyNumber, Pitch or PitchName; interval: Interval, Between or Size;
scale: Names or Scale; key: Accidentals, RelatedKey, Names or Key; chord: Names or Chord; numeral:
Names, Chord or NumeralIn; rhythm: Values."""


@dataclass(frozen=True, slots=True)
class Claim:
    """A code span that says something about music."""

    noun: Noun
    text: str
    """The whole span as written."""
    span: Span
    subject_text: str
    subject_span: Span
    subject: Subject | None
    """None where it could not be read; `problem` says why."""
    sign: Sign | None = None
    """None for a span that states nothing and is only typeset."""
    statement_text: str = ""
    statement_span: Span | None = None
    statement: Statement | None = None
    problem: Finding | None = None
    """Rule `claim`: why the claim has no meaning. Never set where there is no sign."""
