"""A piece of music as both readers give it: bars that hold streams of notes, before any writing.

Times are Fractions of a whole note, counted from the start of the bar. Pitches are what sounds.
Voices are not named yet and may come and go from bar to bar.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, TypeVar

from stavewright.notation.score import BarSign, Drum, EventMark, HeadMark, Silence, Tempo
from stavewright.theory import Interval, Meter, Mode, Pitch

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Tone:
    """One note of a sound."""

    sound: Pitch | Drum
    tied: bool = False
    """Held into the same pitch after it."""
    marks: frozenset[HeadMark] = frozenset()


@dataclass(frozen=True, slots=True)
class GraceTones:
    """A grace note, or several at once."""

    tones: tuple[Tone, ...]
    value: Fraction
    marks: frozenset[EventMark] = frozenset()


@dataclass(frozen=True, slots=True)
class Sung:
    """A syllable under a note."""

    verse: int
    text: str
    hyphen: bool = False
    """Joined to the next syllable."""
    held: bool = False
    """A line shows that it is sung on."""


@dataclass(frozen=True, slots=True)
class Sound:
    """Notes at once, or a silence, in one stream of a bar."""

    at: Fraction
    length: Fraction
    """As it lasts, groups counted in."""
    value: Fraction | None
    """The printed note value; None for a rest that fills its bar."""
    tones: tuple[Tone, ...] = ()
    silence: Silence | None = None
    graces: tuple[GraceTones, ...] = ()
    marks: frozenset[EventMark] = frozenset()
    dynamic: str | None = None
    ratio: Fraction = Fraction(1)
    """How much shorter its groups make it: 2/3 in a triplet."""
    opens: tuple[tuple[int, int], ...] = ()
    """The groups that begin here, the outer first: (3, 2) for a triplet."""
    closes: int = 0
    """How many groups end here."""
    slurs_from: frozenset[str] = frozenset()
    """The names of the slurs that begin here."""
    slurs_to: frozenset[str] = frozenset()
    sung: tuple[Sung, ...] = ()
    cross: bool = False
    """Whether it is printed on another staff than its stream."""

    @property
    def end(self) -> Fraction:
        """Where it stops."""
        return self.at + self.length


@dataclass(frozen=True, slots=True)
class Stream:
    """What one voice of one staff does in one bar, in order of time."""

    staff: int
    """Index into `Piece.staves`."""
    name: str
    """The file's own name for it: the same in every bar."""
    sounds: tuple[Sound, ...]


@dataclass(frozen=True, slots=True)
class Placed(Generic[T]):
    """Something at a moment of a bar; a staff where it belongs to one."""

    at: Fraction
    what: T
    staff: int = 0


@dataclass(frozen=True, slots=True)
class Signature:
    """A key signature as it sounds, and the mode where the file names one."""

    fifths: int
    """Sharps; flats are negative."""
    mode: Mode | None = None


@dataclass(frozen=True, slots=True)
class Measure:
    """One bar of the file, the same for all staves."""

    number: str
    """As printed; empty where the file gives none."""
    length: Fraction
    """What the fullest staff holds."""
    streams: tuple[Stream, ...] = ()
    meters: tuple[Placed[Meter | None], ...] = ()
    """None where a metre stops to hold."""
    keys: tuple[Placed[Signature], ...] = ()
    tempos: tuple[Placed[Tempo], ...] = ()
    """As printed."""
    playback: tuple[Placed[Tempo], ...] = ()
    """How fast the file plays itself, where nothing is printed."""
    clefs: tuple[Placed[str], ...] = ()
    chords: tuple[Placed[str], ...] = ()
    """Chord symbols in our spelling; empty for N.C."""
    numerals: tuple[Placed[str], ...] = ()
    figures: tuple[Placed[str], ...] = ()
    """Figured bass in our spelling; empty where figures stop to hold."""
    closing: BarSign = BarSign.SINGLE
    opens_repeat: bool = False
    invisible: bool = False
    """Whether no bar line is printed after it."""
    ending: tuple[int, ...] = ()
    ending_starts: bool = False
    uncounted: bool = False
    """Whether the file keeps it out of the count, as a pickup."""


@dataclass(frozen=True, slots=True)
class StaffPart:
    """One staff, and the part it belongs to."""

    part: str
    """The part's name as printed; may be empty."""
    place: int = 1
    """Which staff of its part it is, from 1."""
    of: int = 1
    """How many staves its part has."""
    transposition: Interval | None = None
    """By how much it is printed above what sounds."""
    percussion: bool = False
    clef: str = "treble"


@dataclass(frozen=True, slots=True)
class Left:
    """Something in the file that a block cannot say, at one place."""

    one: str
    """One of it in words: `hairpin`."""
    bar: int
    """Index into `Piece.measures`; -1 for the whole piece."""
    staff: int | None = None
    """None where it belongs to no one staff."""
    many: str = ""
    """Several of it; empty where an s is enough."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A whole file, read."""

    title: str | None = None
    credits: tuple[str, ...] = ()
    rights: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    staves: tuple[StaffPart, ...] = ()
    measures: tuple[Measure, ...] = ()
    left: tuple[Left, ...] = ()
    swing: str | None = None
    """How pairs of notes are played, as a block writes it."""
