"""What a timed line says, item by item, before anything is placed in time.

A line is a flat row of items; groups are an opening and a closing item. Flat, because a `)` that is
missing or one too many then spoils nothing but itself.
"""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from stavewright.notation.score import BarSign, BassFigure, EventMark, Head, Silence, Tempo
from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.key import Key
from stavewright.theory.meter import Meter
from stavewright.theory.numeral import Numeral


@dataclass(frozen=True, slots=True)
class LineStart:
    """A line of the file begins."""

    span: Span
    continues: bool = False
    """Whether it continues the line above; otherwise the note value must be said anew."""


@dataclass(frozen=True, slots=True)
class Value:
    """`1/4`: the value of what follows."""

    value: Fraction | None
    """None where it could not be read."""
    span: Span

    def at(self, span: Span) -> "Value":
        """The same at another place."""
        return Value(self.value, span)


@dataclass(frozen=True, slots=True)
class Barline:
    """A bar sign."""

    sign: BarSign
    span: Span

    def at(self, span: Span) -> "Barline":
        """The same at another place."""
        return Barline(self.sign, span)


@dataclass(frozen=True, slots=True)
class Sound:
    """Notes at once, or a silence, in a voice."""

    heads: tuple[Head, ...]
    span: Span
    text: str
    """As it would be written again."""
    silence: Silence | None = None
    marks: frozenset[EventMark] = frozenset()
    label: str | None = None
    label_span: Span | None = None
    """The label with its quotes."""
    readable: bool = True
    """False for something that could not be read and stands as a space."""

    def at(self, span: Span) -> "Sound":
        """The same at another place; it has no labels."""
        heads = tuple(head.at(self._place(head, span)) for head in self.heads)
        return Sound(heads, span, self.text, self.silence, self.marks)

    def _place(self, head: Head, span: Span) -> Span:
        """Where a head stands if the whole stands at a span."""
        if head.span is None or head.span is self.span:
            return span
        moved = span.column - self.span.column
        return Span(span.file, span.line, head.span.column + moved, head.span.end_column + moved)


@dataclass(frozen=True, slots=True)
class Symbol:
    """A chord symbol, a numeral or the figures of a bass note; or a gap."""

    meaning: Chord | Numeral | tuple[BassFigure, ...] | None
    """None for a gap."""
    text: str
    span: Span
    label: str | None = None

    def at(self, span: Span) -> "Symbol":
        """The same at another place; it has no label."""
        return Symbol(self.meaning, self.text, span)


class Group(Enum):
    """What may stand before `(`."""

    RATIO = "ratio"
    SLUR = "slur"
    GRACE = "grace"
    UNKNOWN = "unknown"
    """A word that was not understood; what it holds is read as if it were not there."""


@dataclass(frozen=True, slots=True)
class Open:
    """A group begins."""

    group: Group
    span: Span
    actual: int = 1
    normal: int = 1


@dataclass(frozen=True, slots=True)
class Split:
    """`)(`: one slur ends and the next begins."""

    span: Span


@dataclass(frozen=True, slots=True)
class Close:
    """`)`."""

    span: Span


@dataclass(frozen=True, slots=True)
class KeySign:
    """`key(G major)`; with `pivot`, `key(G major)=ii`."""

    key: Key
    span: Span
    pivot: Numeral | None = None


@dataclass(frozen=True, slots=True)
class MeterSign:
    """`time(3/4)`."""

    meter: Meter
    span: Span


@dataclass(frozen=True, slots=True)
class TempoSign:
    """`tempo(1/4 at 96)`."""

    tempo: Tempo
    span: Span


@dataclass(frozen=True, slots=True)
class ClefSign:
    """`clef(bass)`."""

    clef: str
    span: Span


@dataclass(frozen=True, slots=True)
class Ending:
    """`ending(1 2)`."""

    passes: tuple[int, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Same:
    """`same`, `same(3)`."""

    times: int
    span: Span


@dataclass(frozen=True, slots=True)
class Dynamic:
    """`dynamic(mf)`."""

    text: str
    span: Span


Change = KeySign | MeterSign | TempoSign | ClefSign
Item = (
    LineStart
    | Value
    | Barline
    | Sound
    | Symbol
    | Open
    | Split
    | Close
    | Change
    | Ending
    | Same
    | Dynamic
)
