"""One measure while it is read, whatever the format."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from stavewright.importing.draft import Draft, streams_of
from stavewright.importing.model import Measure, Placed, Signature
from stavewright.notation.score import BarSign, Tempo
from stavewright.theory import Meter


@dataclass(slots=True)
class OpenBar:
    """What was found in a measure so far; see `Measure` for what each of it says."""

    number: str
    index: int
    """In the file, from 0."""
    drafts: list[Draft] = field(default_factory=list)
    meters: list[Placed[Meter | None]] = field(default_factory=list)
    keys: list[Placed[Signature]] = field(default_factory=list)
    tempos: list[Placed[Tempo]] = field(default_factory=list)
    playback: list[Placed[Tempo]] = field(default_factory=list)
    clefs: list[Placed[str]] = field(default_factory=list)
    chords: list[Placed[str]] = field(default_factory=list)
    numerals: list[Placed[str]] = field(default_factory=list)
    figures: list[Placed[str]] = field(default_factory=list)
    closing: BarSign = BarSign.SINGLE
    opens_repeat: bool = False
    invisible: bool = False
    ending: tuple[int, ...] = ()
    ending_starts: bool = False
    uncounted: bool = False

    def closed(self, length: Fraction, homes: Mapping[str, int]) -> Measure:
        """The measure, its sounds in streams; `homes` has the staff of each voice."""
        return Measure(
            number=self.number,
            length=length,
            streams=streams_of(self.drafts, homes),
            meters=tuple(self.meters),
            keys=tuple(self.keys),
            tempos=tuple(self.tempos),
            playback=tuple(self.playback),
            clefs=tuple(self.clefs),
            chords=tuple(self.chords),
            numerals=tuple(self.numerals),
            figures=tuple(self.figures),
            closing=self.closing,
            opens_repeat=self.opens_repeat,
            invisible=self.invisible,
            ending=self.ending,
            ending_starts=self.ending_starts,
            uncounted=self.uncounted,
        )
