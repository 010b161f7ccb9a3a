"""The Score: what a music block means.

Everything stands at an exact time: a `Fraction` of a whole note from the beginning of the score.
What a voice holds is in `events`, what is said of it in `annotations`; this module gives their
names too. Spans are the places the author wrote things; they never count when two Scores are
compared, so that a Score printed and parsed again is equal to itself.
"""

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from stavewright.notation.annotations import (
    BassFigure,
    BassFigureEvent,
    ChordEvent,
    NumeralEvent,
    Syllable,
    Words,
)
from stavewright.notation.events import (
    Drum,
    Event,
    EventMark,
    Grace,
    Head,
    HeadMark,
    Shift,
    Silence,
    Slur,
    Staff,
    Tuplet,
    Voice,
    VoiceBar,
)
from stavewright.notation.source import Span
from stavewright.theory.key import Key
from stavewright.theory.meter import Meter
from stavewright.theory.pitch import Pitch
from stavewright.theory.scale import Scale

__all__ = [
    "Accept",
    "Bar",
    "BarSign",
    "BassFigure",
    "BassFigureEvent",
    "ChordEvent",
    "ClefChange",
    "Drum",
    "Event",
    "EventMark",
    "Grace",
    "Head",
    "HeadMark",
    "KeyChange",
    "MeterChange",
    "NumeralEvent",
    "Score",
    "Shift",
    "Silence",
    "Slur",
    "Staff",
    "Swing",
    "Syllable",
    "Tempo",
    "TempoChange",
    "Tuning",
    "Tuplet",
    "View",
    "Voice",
    "VoiceBar",
    "Words",
]


class BarSign(Enum):
    """What stands between two bars."""

    SINGLE = "|"
    DOUBLE = "||"
    FINAL = "|||"
    REPEAT_START = "|:"
    REPEAT_END = ":|"
    REPEAT_BOTH = ":|:"


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar, the same for all voices."""

    start: Fraction
    length: Fraction
    """What the metre asks for; in a pickup, part-bar or unmeasured bar, what is written."""
    meter: Meter | None
    """The metre in force; None where the block names none."""
    number: int
    """As printed: 0 for a pickup, else from 1."""
    opening: BarSign = BarSign.SINGLE
    """SINGLE or REPEAT_START: the sign before the bar."""
    closing: BarSign = BarSign.SINGLE
    """The sign after the bar; never REPEAT_START or REPEAT_BOTH (the next bar opens with those)."""
    ending: tuple[int, ...] = ()
    """The passes for which this bar is played, for a bar under an ending bracket."""
    expected: Fraction | None = None
    """The length a voice must fill; None where nothing is checked (no metre)."""


@dataclass(frozen=True, slots=True)
class KeyChange:
    """A new key signature for the whole score."""

    at: Fraction
    key: Key
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class MeterChange:
    """A new metre for the whole score."""

    at: Fraction
    meter: Meter
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Tempo:
    """`tempo: 1/4 at 96`."""

    unit: Fraction
    """The note value that is counted."""
    per_minute: Fraction


@dataclass(frozen=True, slots=True)
class TempoChange:
    """A new tempo for the whole score."""

    at: Fraction
    tempo: Tempo
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class ClefChange:
    """A new clef for one staff."""

    at: Fraction
    staff: int
    clef: str
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Swing:
    """`swing: 1/8 2:1`: each pair of `unit` is played long to short."""

    unit: Fraction
    long: Fraction
    short: Fraction


@dataclass(frozen=True, slots=True)
class Tuning:
    """`tuning: A4 442, 24 equal`."""

    reference: Pitch
    hertz: Fraction
    steps: int = 12
    """Equal steps to the octave."""


@dataclass(frozen=True, slots=True)
class View:
    """One item of `show:`."""

    name: str
    """`staff keyboard grid circle clock fretboard names ruler table`."""
    options: str = ""
    """What stands in parentheses, as written."""
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Accept:
    """`accept: RULE because REASON`."""

    rule: str
    reason: str
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Score:
    """A whole music block, resolved."""

    # The fields.
    title: str | None = None
    caption: str | None = None
    style: str | None = None
    rights: str | None = None
    sources: tuple[str, ...] = ()
    credits: tuple[str, ...] = ()
    key: Key | None = None
    meter: Meter | None = None
    tempo: Tempo | None = None
    swing: Swing | None = None
    pickup: Fraction | None = None
    tuning: Tuning | None = None
    strings: tuple[Pitch, ...] = ()
    """From the lowest-sounding course, as written; empty where the field is absent."""
    scale: Scale | None = None
    clef: str | None = None
    """The field `clef`, also where the block's one voice is still to be written (`realise`)."""
    show: tuple[View, ...] = ()
    """Empty where the field is absent: the staff alone."""
    accepts: tuple[Accept, ...] = ()

    # What sounds and what is said of it.
    staves: tuple[Staff, ...] = ()
    voices: tuple[Voice, ...] = ()
    bars: tuple[Bar, ...] = ()
    key_changes: tuple[KeyChange, ...] = ()
    meter_changes: tuple[MeterChange, ...] = ()
    tempo_changes: tuple[TempoChange, ...] = ()
    clef_changes: tuple[ClefChange, ...] = ()
    chords: tuple[ChordEvent, ...] = ()
    numerals: tuple[NumeralEvent, ...] = ()
    chord_bars: tuple[VoiceBar, ...] = ()
    """What the chords line wrote in each bar, as a voice's bars; `first` indexes `chords`."""
    numeral_bars: tuple[VoiceBar, ...] = ()
    """The same of the numerals line; `first` indexes `numerals`."""
    words: tuple[Words, ...] = ()
    bass_figures: tuple[BassFigureEvent, ...] = ()
    bass_figure_bars: tuple[VoiceBar, ...] = ()
    """The same of the figured bass; lengths are 0 where it follows the notes of the bass."""

    # Where things stand, for findings about a field or the whole.
    span: Span | None = field(default=None, compare=False)
    """The opening fence."""
    field_spans: tuple[tuple[str, Span], ...] = field(default=(), compare=False)
    """The value of each field, by the field's word; once for each time it is written."""

    def field_span(self, word: str) -> Span | None:
        """Where the value of a field stands; None where the field is absent."""
        return next((span for name, span in self.field_spans if name == word), None)

    def key_at(self, time: Fraction) -> Key | None:
        """The key signature in force at a time; a change counts from its own moment on."""
        later = [change.key for change in self.key_changes if change.at <= time]
        return later[-1] if later else self.key

    @property
    def end(self) -> Fraction:
        """Where the last bar stops; where the last symbol stops if there are no bars."""
        ends = [bar.start + bar.length for bar in self.bars]
        ends += [event.end for event in self.chords] + [event.end for event in self.numerals]
        return max(ends, default=Fraction(0))
