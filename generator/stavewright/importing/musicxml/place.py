"""What the readers of a part share: where they are, what holds, and what they have found."""

from dataclasses import dataclass, field
from fractions import Fraction

from stavewright.importing.draft import Draft
from stavewright.importing.model import Placed
from stavewright.importing.open_bar import OpenBar
from stavewright.importing.remains import Remains
from stavewright.theory import Interval, Pitch

NO_INTERVAL = Interval(0, 0)


@dataclass(slots=True)
class Bar(OpenBar):
    """One measure of one part while it is read."""

    length: Fraction = Fraction(0)
    dynamics: list[tuple[Placed[str], str]] = field(default_factory=list)
    """Each with the voice it is written for; empty where it names none."""
    repeats_before: bool = False
    """Whether only the sign for repeating the bar before is printed."""


@dataclass(slots=True)
class OpenGroup:
    """A group in a ratio whose end is still to come."""

    number: str
    """The file's number of its bracket."""
    ratio: tuple[int, int]
    first: Draft
    """The sound on which it begins."""


@dataclass(slots=True)
class PartState:
    """What holds in a part while its measures are read."""

    first_staff: int
    """Index of its first staff in the piece."""
    remains: Remains
    instruments: dict[str, int]
    """General MIDI key numbers of percussion, by instrument id."""
    bar: Bar
    staves: int = 1
    divisions: Fraction = Fraction(1)
    """Of a quarter."""
    now: Fraction = Fraction(0)
    """Since the start of the bar."""
    counted: Fraction = Fraction(0)
    """The same by the file's own count, which may round."""
    moments: dict[Fraction, Fraction] = field(default_factory=dict)
    """What moment each count of the present bar was found to mean."""
    figure_offset: Fraction = Fraction(0)
    """How far figures of a bass have gone into the note that follows."""
    transpositions: dict[int, Interval] = field(default_factory=dict)
    """By staff of the part from 1, 0 for all: from what is written to what sounds."""
    graces: dict[str, list[Draft]] = field(default_factory=dict)
    """Waiting for the note they stand before, by voice."""
    groups: dict[str, list[OpenGroup]] = field(default_factory=dict)
    """The groups in a ratio that are open, by voice."""
    last: Draft | None = None
    """The sound that `chord` adds to."""
    ending: tuple[int, ...] = ()
    """The passes of the bracket that is open."""
    swing: str | None = None
    """As a block writes it."""

    def length(self, count: Fraction) -> Fraction:
        """So many divisions as a part of a whole note."""
        return count / self.divisions / 4

    def staff(self, place: int | None) -> int:
        """Index in the piece of a staff of the part; its first for none, or for one too many."""
        here = place if place is not None and 1 <= place <= self.staves else 1
        return self.first_staff + here - 1

    def transposition(self, place: int) -> Interval:
        """From what is written on a staff of the part to what sounds."""
        return self.transpositions.get(place, self.transpositions.get(0, NO_INTERVAL))

    def sounding(self, written: Pitch, place: int) -> Pitch:
        """The sound of a pitch written on a staff of the part."""
        interval = self.transposition(place)
        return written if interval == NO_INTERVAL else written + interval

    def begin(self) -> None:
        """Stand at the start of a bar."""
        self.now = self.counted = self.figure_offset = Fraction(0)
        self.last = None
        self.moments = {Fraction(0): Fraction(0)}

    def pass_by(self, end: Fraction, count: Fraction) -> None:
        """Go to the end of a note that the file counts as so long."""
        self.counted += count
        self.move_to(end)
        self.moments.setdefault(self.counted, self.now)

    def step(self, count: Fraction) -> None:
        """Go on, or back where negative, by the file's count."""
        self.counted = max(Fraction(0), self.counted + count)
        self.move_to(self.moments.get(self.counted, self.counted))
        self.figure_offset = Fraction(0)

    def move_to(self, time: Fraction) -> None:
        """Go to a moment of the bar; the bar is at least as long as the furthest."""
        self.now = max(time, Fraction(0))
        self.bar.length = max(self.bar.length, self.now)
