"""A sound while a reader still learns about it, and how the sounds of a bar become streams."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from stavewright.importing.model import GraceTones, Sound, Stream, Sung, Tone
from stavewright.notation.score import Drum, EventMark, HeadMark, Silence
from stavewright.theory import Pitch


@dataclass(slots=True)
class DraftTone:
    """One note of a draft."""

    sound: Pitch | Drum
    tied: bool = False
    marks: set[HeadMark] = field(default_factory=set)

    def finished(self) -> Tone:
        """As it is kept."""
        return Tone(self.sound, self.tied, frozenset(self.marks))


@dataclass(slots=True)
class Draft:
    """A sound or a grace note; the fields are those of `model.Sound`."""

    staff: int
    voice: str
    at: Fraction
    length: Fraction
    value: Fraction | None
    tones: list[DraftTone] = field(default_factory=list)
    silence: Silence | None = None
    graces: list[GraceTones] = field(default_factory=list)
    marks: set[EventMark] = field(default_factory=set)
    dynamic: str | None = None
    ratio: Fraction = Fraction(1)
    opens: list[tuple[int, int]] = field(default_factory=list)
    closes: int = 0
    slurs_from: set[str] = field(default_factory=set)
    slurs_to: set[str] = field(default_factory=set)
    sung: list[Sung] = field(default_factory=list)

    @property
    def end(self) -> Fraction:
        """Where it stops."""
        return self.at + self.length

    def finished(self, home: int) -> Sound:
        """As it is kept in a stream of the staff `home`."""
        return Sound(
            self.at,
            self.length,
            self.value,
            tuple(tone.finished() for tone in self.tones),
            self.silence,
            tuple(self.graces),
            frozenset(self.marks),
            self.dynamic,
            self.ratio,
            tuple(self.opens),
            self.closes,
            frozenset(self.slurs_from),
            frozenset(self.slurs_to),
            tuple(self.sung),
            self.staff != home and bool(self.tones),
        )

    def as_grace(self) -> GraceTones:
        """As it is kept before another sound."""
        tones = tuple(tone.finished() for tone in self.tones)
        return GraceTones(tones, self.value or Fraction(1, 8), frozenset(self.marks))


def home_staves(bars: Iterable[Sequence[Draft]]) -> dict[str, int]:
    """The staff on which each voice has most of its notes."""
    counts: defaultdict[str, Counter[int]] = defaultdict(Counter)
    for drafts in bars:
        for draft in drafts:
            counts[draft.voice][draft.staff] += 2 if draft.tones else 1
    return {voice: staves.most_common(1)[0][0] for voice, staves in counts.items()}


def streams_of(drafts: Sequence[Draft], homes: Mapping[str, int]) -> tuple[Stream, ...]:
    """The sounds of a bar as streams in which nothing overlaps.

    A voice that wanders between staves is one stream of its home staff. Some programs give voices
    of two staves one name; those are told apart by what overlaps.
    """
    voices: defaultdict[str, list[Draft]] = defaultdict(list)
    for draft in drafts:
        voices[draft.voice].append(draft)
    found: list[Stream] = []
    for voice, own in voices.items():
        own.sort(key=lambda draft: draft.at)
        if not _overlap(own):
            found += _lanes(voice, own, homes[voice])
            continue
        by_staff: defaultdict[int, list[Draft]] = defaultdict(list)
        for draft in own:
            by_staff[draft.staff].append(draft)
        for staff, part in by_staff.items():
            name = voice if staff == homes[voice] else f"{voice} on {staff}"
            found += _lanes(name, part, staff)
    return tuple(found)


def _overlap(drafts: Sequence[Draft]) -> bool:
    return any(b.at < a.end for a, b in pairwise(drafts))


def _lanes(name: str, drafts: Sequence[Draft], staff: int) -> Iterator[Stream]:
    lanes: list[list[Draft]] = []
    for draft in drafts:
        lane = next((each for each in lanes if each[-1].end <= draft.at), None)
        if lane is None:
            lanes.append(lane := [])
        lane.append(draft)
    for number, lane in enumerate(lanes):
        label = name if not number else f"{name} again {number}"
        yield Stream(staff, label, tuple(draft.finished(staff) for draft in lane))
