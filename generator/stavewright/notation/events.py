"""What one voice of a Score holds: notes, rests and the groups over them.

A voice is a flat row of events; tuplets and slurs are ranges of that row, which keeps bars, tuplets
and slurs free to overlap.
"""

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from stavewright.notation.source import Span
from stavewright.theory.interval import Interval
from stavewright.theory.pitch import Pitch


class HeadMark(Enum):
    """A mark that belongs to one note head."""

    GHOST = "ghost"
    """In parentheses."""
    COURTESY = "courtesy"
    """A reminding accidental, printed though the bar or key already says it."""

    # Enumerations hash by a call in Python, and every head is asked for its marks.
    __hash__ = object.__hash__


class EventMark(Enum):
    """A mark that belongs to everything sounding at once in a voice."""

    FERMATA = "fermata"
    ACCENT = "accent"
    STACCATO = "staccato"
    TENUTO = "tenuto"
    TRILL = "trill"
    TURN = "turn"
    MORDENT = "mordent"
    ARPEGGIO = "arpeggio"

    __hash__ = object.__hash__  # as above


@dataclass(frozen=True, slots=True)
class Drum:
    """An instrument of the General MIDI percussion map."""

    name: str
    """Kebab case, such as `acoustic-snare`."""
    key_number: int
    """35 to 81 (General MIDI 1, percussion key map)."""


@dataclass(frozen=True, slots=True)
class Shift:
    """How far a sound lies off its written time; exactly one of the two is not None."""

    note_value: Fraction | None = None
    """Of a whole note; negative is early."""
    milliseconds: Fraction | None = None
    """Negative is early."""


@dataclass(frozen=True, slots=True)
class Head:
    """One note of an event."""

    sound: Pitch | Drum
    tied: bool = False
    """Held into the next event of the voice, which has the same spelled pitch."""
    emphasised: bool = False
    """A visual mark only."""
    shift: Shift | None = None
    marks: frozenset[HeadMark] = frozenset()
    label: str | None = None
    """Only where the event has several heads; a single note's label belongs to the event."""
    span: Span | None = field(default=None, compare=False)
    """The pitch or drum alone, without its suffixes."""
    label_span: Span | None = field(default=None, compare=False)
    """The label with its quotes."""

    def at(self, span: Span) -> "Head":
        """The same, but for a label, at another place."""
        return Head(self.sound, self.tied, self.emphasised, self.shift, self.marks, None, span)


@dataclass(frozen=True, slots=True)
class Grace:
    """A grace note, or several at once, before an event; takes no written time."""

    heads: tuple[Head, ...]
    value: Fraction
    """The printed note value."""
    label: str | None = None
    marks: frozenset[EventMark] = frozenset()
    span: Span | None = field(default=None, compare=False)


class Silence(Enum):
    """The two ways a voice can be silent."""

    REST = "rest"
    SPACE = "space"
    """Silent and unprinted."""


@dataclass(frozen=True, slots=True)
class Event:
    """Notes that sound at once, or a silence, in one voice."""

    start: Fraction
    """From the beginning of the score, as written."""
    duration: Fraction
    """As it lasts: the printed value times the ratios of its tuplets. 0 for a bare note head."""
    value: Fraction | None
    """The printed note value; None for a bare note head and for a rest that fills its bar."""
    bar: int
    """Index into `Score.bars`."""
    heads: tuple[Head, ...] = ()
    """Empty for a silence."""
    silence: Silence | None = None
    """None for notes."""
    graces: tuple[Grace, ...] = ()
    marks: frozenset[EventMark] = frozenset()
    label: str | None = None
    dynamic: str | None = None
    span: Span | None = field(default=None, compare=False)
    """The event with its suffixes, without the value before it."""
    label_span: Span | None = field(default=None, compare=False)
    """The label with its quotes."""
    value_span: Span | None = field(default=None, compare=False)
    """Where the value in force was said, perhaps for several events."""

    @property
    def end(self) -> Fraction:
        """Where the event stops."""
        return self.start + self.duration

    @property
    def fills_bar(self) -> bool:
        """Whether this is a rest alone in its bar, printed as a whole-bar rest in any metre."""
        return self.silence is Silence.REST and self.value is None


@dataclass(frozen=True, slots=True)
class Tuplet:
    """`actual:normal(…)`: the events from `first` to `last` (both included) of a voice."""

    actual: int
    normal: int
    first: int
    last: int
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Slur:
    """From event `first` to event `last` (both included) of a voice."""

    first: int
    last: int
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class VoiceBar:
    """What one voice wrote in one bar."""

    first: int
    """Index of its first event; equal to the next bar's `first` where the bar is empty."""
    length: Fraction
    """What its events add up to; the bar's own length where a rest fills it."""
    span: Span | None = field(default=None, compare=False)
    """From its first event to its last on the line where it begins."""


@dataclass(frozen=True, slots=True)
class Voice:
    """One stream of events."""

    name: str
    """As declared in `staves:`; `notes` or `drums` where it was not."""
    staff: int
    """Index into `Score.staves`."""
    events: tuple[Event, ...]
    bars: tuple[VoiceBar, ...]
    tuplets: tuple[Tuplet, ...] = ()
    """Outer before inner, in order of `first`."""
    slurs: tuple[Slur, ...] = ()
    transposition: Interval | None = None
    """The voice is printed this interval above what sounds (below, if it descends)."""
    span: Span | None = field(default=None, compare=False)
    """The word that opens its first line."""


@dataclass(frozen=True, slots=True)
class Staff:
    """One staff of the system, from the top."""

    clef: str
    """A name from `notation.clefs`, such as `treble` or `treble-8`; `percussion` for drums."""
    voices: tuple[str, ...]
    """Names, the first with stems up."""
    declared: bool = True
    """False for the staff that a block without `staves:` is given."""
