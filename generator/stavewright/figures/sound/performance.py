"""A performance: every note in the order it sounds, repeats played out, at exact times."""

from dataclasses import dataclass
from fractions import Fraction

from stavewright.notation.score import Drum, Tempo
from stavewright.theory import Key, Meter, Pitch


@dataclass(frozen=True, slots=True)
class PlayedNote:
    """One sound, from its attack to its release."""

    voice: int
    """Index into `Performance.voices`."""
    sound: Pitch | Drum
    start: Fraction
    """Whole notes from the beginning, repeats played out, after swing and shift."""
    end: Fraction
    """The same, where it is let go."""
    seconds: Fraction
    """When it begins, from the written beginning; negative for a first note shifted early."""
    until: Fraction
    """When it is let go, in seconds."""
    loudness: int
    """1 to 127, as MIDI counts velocity."""
    ids: tuple[str, ...]
    """`data-id` of what stands for it in the staff and the rhythm grid; ties have several. None
    for a chord under a tune, and in an ornament, whose light is in `Performance.lit`."""


@dataclass(frozen=True, slots=True)
class Lit:
    """What is lit for longer than one sound: a chord's symbol, a key on the circle, a trill."""

    id: str
    """`data-id` in the drawings; of tied notes several, with spaces between."""
    seconds: Fraction
    until: Fraction
    sound: Pitch | Drum | None = None
    """The written note of an ornament, by which keys and places are lit; None for a symbol."""


@dataclass(frozen=True, slots=True)
class Click:
    """One beat of the metre."""

    seconds: Fraction
    is_first: bool
    """Whether the bar begins here."""


@dataclass(frozen=True, slots=True)
class TempoMark:
    """A tempo as it is played, fermatas and all."""

    at: Fraction
    """Whole notes, repeats played out."""
    tempo: Tempo


@dataclass(frozen=True, slots=True)
class Performance:
    """A whole figure, played."""

    voices: tuple[str, ...]
    """Names, as readers are told them."""
    notes: tuple[PlayedNote, ...]
    """In order of `seconds`."""
    clicks: tuple[Click, ...]
    """Empty where there is no metre."""
    tempos: tuple[TempoMark, ...]
    """The first at 0."""
    meters: tuple[tuple[Fraction, Meter], ...]
    """Each where it begins, repeats played out."""
    keys: tuple[tuple[Fraction, Key], ...]
    a4: Fraction | float
    """Hertz of A4."""
    seconds: Fraction
    """How long it lasts: to the end of the last bar, or of the last sound."""
    lit: tuple[Lit, ...] = ()
    """In the order they begin; empty where no view shows such things."""

    @property
    def lead(self) -> Fraction:
        """Seconds by which the first sound comes before the written beginning; 0 or more."""
        return max(Fraction(0), -min((note.seconds for note in self.notes), default=Fraction(0)))
