"""What is written on one layer of a staff: usually a voice, in a drum kit several voices as one."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

from stavewright.figures.mei.accidentals import HeadPlace
from stavewright.figures.mei.ids import event_id, grace_id, head_id
from stavewright.notation.clefs import PERCUSSION
from stavewright.notation.score import EventMark, Grace, Head, Score, Silence


@dataclass(frozen=True, slots=True)
class PlacedHead:
    """A note head and where it came from."""

    head: Head
    place: HeadPlace
    id: str


@dataclass(frozen=True, slots=True)
class PlacedGrace:
    """A grace note and where it came from."""

    grace: Grace
    voice: int
    event: int
    number: int
    """Which of the event's grace notes."""
    of: int
    """How many the event has."""
    id: str


@dataclass(frozen=True, slots=True)
class Item:
    """One thing on a layer: notes that begin together, or a silence."""

    start: Fraction
    duration: Fraction
    value: Fraction | None
    """As printed; None for a bare head and a rest that fills its bar."""
    bar: int
    heads: tuple[PlacedHead, ...] = ()
    silence: Silence | None = None
    graces: tuple[PlacedGrace, ...] = ()
    marks: frozenset[EventMark] = frozenset()
    id: str | None = None
    """Of the whole; the only head carries it where there is one."""

    @property
    def fills_bar(self) -> bool:
        """Whether it is a rest alone in its bar."""
        return self.silence is Silence.REST and self.value is None


@dataclass(frozen=True, slots=True)
class Group:
    """Items from `first` to `last` (both included) in another ratio."""

    actual: int
    normal: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Strand:
    """One layer from beginning to end."""

    staff: int
    voices: tuple[int, ...]
    """Indices of the voices in it."""
    items: tuple[Item, ...]
    groups: tuple[Group, ...] = ()
    """Outer before inner."""
    stems_down: bool | None = None
    """Stems all one way; None where each note decides."""
    bars: dict[int, list[int]] = field(init=False, compare=False, repr=False)
    """Places of the items by bar."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "bars", _places_by_bar(self.items))


def _places_by_bar(items: Iterable[Item]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for place, item in enumerate(items):
        found.setdefault(item.bar, []).append(place)
    return found


def voice_strand(score: Score, index: int) -> Strand:
    """A voice on a layer of its own."""
    voice = score.voices[index]
    items = []
    for number, event in enumerate(voice.events):
        count, graces = len(event.heads), len(event.graces)
        heads = [
            PlacedHead(head, HeadPlace(index, number, at), head_id(voice.name, number, at, count))
            for at, head in enumerate(event.heads)
        ]
        before = [
            PlacedGrace(grace, index, number, at, graces, grace_id(voice.name, number, at))
            for at, grace in enumerate(event.graces)
        ]
        items.append(
            Item(
                event.start,
                event.duration,
                event.value,
                event.bar,
                tuple(heads),
                event.silence,
                tuple(before),
                event.marks,
                event_id(voice.name, number),
            )
        )
    groups = tuple(Group(t.actual, t.normal, t.first, t.last) for t in voice.tuplets)
    return Strand(voice.staff, (index,), tuple(items), groups, _stems_down(score, index))


def _stems_down(score: Score, index: int) -> bool | None:
    """Of the voices of a staff every other has its stems down; a voice alone has no rule.

    But a drummer reads one line of strokes best with all stems up.
    """
    staff = score.voices[index].staff
    sharing = [place for place, voice in enumerate(score.voices) if voice.staff == staff]
    if len(sharing) > 1:
        return sharing.index(index) % 2 == 1
    return False if score.staves[staff].clef == PERCUSSION else None
