"""The Score: what a music block means.

Everything stands at an exact time: a `Fraction` of a whole note from the beginning of the score. A
voice is a flat row of events; tuplets and slurs are ranges of that row, which keeps bars, tuplets
and slurs free to overlap. Spans are the places the author wrote things; they never count when two
Scores are compared, so that a Score printed and parsed again is equal to itself.
"""

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key
from stavewright.theory.meter import Meter
from stavewright.theory.numeral import Numeral
from stavewright.theory.pitch import Pitch
from stavewright.theory.scale import Scale


class HeadMark(Enum):
    """A mark that belongs to one note head."""

    GHOST = "ghost"
    """In parentheses."""
    COURTESY = "courtesy"
    """A reminding accidental, printed though the bar or key already says it."""


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


class BarSign(Enum):
    """What stands between two bars."""

    SINGLE = "|"
    DOUBLE = "||"
    FINAL = "|||"
    REPEAT_START = "|:"
    REPEAT_END = ":|"
    REPEAT_BOTH = ":|:"


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
    """`staff keyboard grid circle clock fretboard names`."""
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
