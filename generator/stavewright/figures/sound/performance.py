"""A performance: every note in the order it sounds, repeats played out, at exact times.

Times are whole numbers: score time in *ticks* of a whole note, the clock's in *instants* of a
second. Each performance has its own, so fine that nothing in it falls between two of them; such
numbers are as exact as fractions, and are compared and added many times faster.
"""

from dataclasses import dataclass
from fractions import Fraction

from stavewright.notation.score import Drum, Tempo
from stavewright.theory import Key, Meter, Pitch


@dataclass(frozen=True, slots=True)
class Resolution:
    """How fine the times of a performance are."""

    ticks: int
    """In a whole note."""
    instants: int
    """In a second."""

    def in_ticks(self, time: Fraction) -> int:
        """Score time in ticks; the resolution must be fine enough for it."""
        return time.numerator * (self.ticks // time.denominator)

    def seconds(self, instants: int) -> Fraction:
        """Time of the clock in seconds."""
        return Fraction(instants, self.instants)


@dataclass(frozen=True, slots=True)
class PlayedNote:
    """One sound, from its attack to its release."""

    voice: int
    """Index into `Performance.voices`."""
    sound: Pitch | Drum
    start: int
    """Ticks from the beginning, repeats played out, after swing and shift."""
    end: int
    """The same, where it is let go."""
    attack: int
    """When it begins, in instants from the written beginning; negative for a first note shifted
    early."""
    release: int
    """When it is let go, in instants."""
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
    begin: int
    """In instants, as `until`."""
    until: int
    sound: Pitch | Drum | None = None
    """The written note of an ornament, by which keys and places are lit; None for a symbol."""


@dataclass(frozen=True, slots=True)
class Click:
    """One beat of the metre."""

    at: int
    """In instants."""
    is_first: bool
    """Whether the bar begins here."""


@dataclass(frozen=True, slots=True)
class TempoMark:
    """A tempo as it is played, fermatas and all."""

    at: int
    """In ticks, repeats played out."""
    tempo: Tempo


@dataclass(frozen=True, slots=True)
class Performance:
    """A whole figure, played."""

    resolution: Resolution
    voices: tuple[str, ...]
    """Names, as readers are told them."""
    notes: tuple[PlayedNote, ...]
    """In order of `attack`."""
    clicks: tuple[Click, ...]
    """Empty where there is no metre."""
    tempos: tuple[TempoMark, ...]
    """The first at 0."""
    meters: tuple[tuple[int, Meter], ...]
    """Each with the tick where it begins, repeats played out."""
    keys: tuple[tuple[int, Key], ...]
    a4: Fraction | float
    """Hertz of A4."""
    length: int
    """In instants: to the end of the last bar, or of the last sound."""
    lit: tuple[Lit, ...] = ()
    """In the order they begin; empty where no view shows such things."""

    @property
    def lead(self) -> int:
        """Instants by which the first sound comes before the written beginning; 0 or more."""
        return max(0, -min((note.attack for note in self.notes), default=0))
