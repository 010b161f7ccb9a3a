"""What the readers of a MEI score share: what holds, where they are, and what they have found."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from stavewright.importing.draft import Draft, DraftTone
from stavewright.importing.open_bar import OpenBar
from stavewright.importing.remains import Remains
from stavewright.importing.tree import children
from stavewright.theory import Interval, Meter

NO_INTERVAL: Final = Interval(0, 0)
DURATIONS: Final = {
    "long": Fraction(4),
    "breve": Fraction(2),
    **{str(1 << power): Fraction(1, 1 << power) for power in range(11)},
}
_FIRST_OF: Final = ("app", "choice", "subst")
_THROUGH: Final = (
    *("lem", "rdg", "reg", "corr", "orig", "sic", "add", "supplied", "unclear", "expan", "abbr"),
    *("damage", "restore", "hand", "ossia"),
)
_BEST: Final = ("lem", "corr", "reg", "add", "expan", "rdg", "orig", "sic", "abbr")


@dataclass(slots=True)
class StaffState:
    """What holds on a staff while its bars are read."""

    index: int
    """In the piece."""
    clef: str = "treble"
    signature: int = 0
    """As written."""
    transposition: Interval = NO_INTERVAL
    """From what is written to what sounds."""
    duration: str = ""
    """The note value of notes that say none."""
    octave: int | None = None
    """The octave of notes that say none."""
    ticks: Fraction | None = None
    """Parts of a quarter in which `dur.ges` counts."""


@dataclass(slots=True)
class Bar(OpenBar):
    """One measure while it is read."""

    meter: Meter | None = None
    """In force at its start."""

    @property
    def length(self) -> Fraction:
        """What its fullest staff holds; an empty one is as long as its metre."""
        ends = [draft.end for draft in self.drafts]
        return max(ends, default=self.meter.length if self.meter is not None else Fraction(1))

    def moment(self, stamp: Fraction) -> Fraction:
        """The moment of a time stamp: 1 is the first beat of the metre's lower figure."""
        unit = self.meter.unit if self.meter is not None else 4
        return max(Fraction(0), (stamp - 1) / unit)


@dataclass(slots=True)
class Reading:
    """Everything about the score that is being read."""

    remains: Remains
    by_id: Mapping[str, ET.Element]
    implicit: bool
    """Whether signatures and accidentals before in the bar alter notes that say nothing."""
    tie_ends: frozenset[str]
    """The ids of notes into which a tie leads."""
    staves: dict[str, StaffState] = field(default_factory=dict)
    """By their number in the file."""
    meter: Meter | None = None
    bars: list[Bar] = field(default_factory=list)
    events: dict[str, tuple[Draft, int]] = field(default_factory=dict)
    """Notes, chords and rests by id, each with its bar."""
    tones: dict[str, DraftTone] = field(default_factory=dict)
    graces: set[str] = field(default_factory=set)
    """The ids of grace notes."""
    sounding_octaves: set[int] = field(default_factory=set)
    """The identities of tones that say in which octave they sound."""
    homes: dict[str, int] = field(default_factory=dict)
    """The staff of each voice."""
    swing: str | None = None
    """How pairs of notes are played, as a block writes it."""

    @property
    def bar(self) -> Bar:
        """The bar that is being read."""
        return self.bars[-1]

    def inside(self, element: ET.Element) -> Iterator[tuple[str, ET.Element]]:
        """The children of an element, editors' alternatives settled and copies followed."""
        for tag, child in children(element):
            if tag in _FIRST_OF:
                best = self._best(child)
                if best is not None:
                    yield from self.inside(best)
            elif tag in _THROUGH:
                yield from self.inside(child)
            elif tag != "del":
                yield tag, self._original(child)

    def _best(self, element: ET.Element) -> ET.Element | None:
        readings = [child for _, child in children(element)]
        if len(readings) > 1:
            self.remains.leave("other reading")
        readings.sort(key=lambda each: _BEST.index(each.tag) if each.tag in _BEST else len(_BEST))
        return readings[0] if readings else None

    def _original(self, element: ET.Element) -> ET.Element:
        source = (element.get("copyof") or element.get("sameas") or "").removeprefix("#")
        found = self.by_id.get(source)
        return found if found is not None and found is not element else element


def ident(element: ET.Element) -> str:
    """The id of an element; empty without one."""
    return element.get("id", "")


def reference(element: ET.Element, name: str) -> str:
    """The id that an attribute points to; empty for none."""
    return (element.get(name) or "").strip().split(" ")[0].removeprefix("#")
