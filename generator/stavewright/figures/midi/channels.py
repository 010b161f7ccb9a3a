"""Which of MIDI's channels each note goes to.

A pitch bend holds for a whole channel, so notes that sound together and differ in cents need one
each. Fifteen channels have pitches; percussion has the tenth to itself (General MIDI 1). Where more
shades sound at once than there are channels, the last channel is shared and its bend follows the
newest note.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import log2
from typing import Final

from stavewright.figures.sound.performance import PlayedNote
from stavewright.theory import Pitch

PERCUSSION: Final = 9
"""Channel 10, counted from 0 as the format does."""
PITCHED: Final = tuple(channel for channel in range(16) if channel != PERCUSSION)
BEND_CENTS: Final = 200
"""How far a whole bend goes: two half steps each way, as instruments take it to be."""
MIDDLE: Final = 8192
"""No bend; from 0 to 16383."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A note as MIDI plays it."""

    note: PlayedNote
    channel: int
    key: int
    bend: int


@dataclass(slots=True)
class _Channel:
    """What a channel is doing while notes are dealt out."""

    number: int
    bend: int = MIDDLE
    busy: dict[int, int] = field(default_factory=dict)
    """The tick at which each key is let go."""
    until: int = 0
    """When the last of them is."""

    def takes(self, key: int, bend: int, start: int) -> bool:
        """Whether a note can begin here without bending or cutting another."""
        if not self.busy:
            return True
        if self.bend != bend and self.until > start:
            return False
        return key not in self.busy or self.busy[key] <= start

    def hold(self, key: int, bend: int, end: int) -> None:
        """Give the channel a note."""
        self.bend = bend
        self.until = max(self.until, end) if self.busy else end
        self.busy[key] = end


def place(notes: Sequence[PlayedNote], a4: float) -> tuple[Placed, ...]:
    """Deal notes, in order of their beginnings, out to channels."""
    channels = [_Channel(number) for number in PITCHED]
    raised = 1200 * log2(a4 / 440)
    found = []
    for note in sorted(notes, key=lambda each: each.start):
        if not isinstance(note.sound, Pitch):
            found.append(Placed(note, PERCUSSION, note.sound.key_number, MIDDLE))
            continue
        key, bend = _key_and_bend(note.sound.key_number, raised)
        channel = _choose(channels, note, key, bend)
        channel.hold(key, bend, note.end)
        found.append(Placed(note, channel.number, key, bend))
    return tuple(found)


def _choose(channels: list[_Channel], note: PlayedNote, key: int, bend: int) -> _Channel:
    """A channel that can take a note without harm to another, or the last."""
    takers = (each for each in _by_merit(channels, bend) if each.takes(key, bend, note.start))
    return next(takers, channels[-1])


def _by_merit(channels: list[_Channel], bend: int) -> Iterator[_Channel]:
    """First those that have the bend already, then free ones, then all, in a fixed order."""
    for each in channels:
        if each.busy and each.bend == bend:
            yield each
    for each in channels:
        if not each.busy:
            yield each
    yield from channels


@lru_cache(maxsize=512)  # a piece has few pitches and many notes
def _key_and_bend(number: float, raised: float) -> tuple[int, int]:
    """The nearest key and the bend from it, of a key number in a tuning so many cents higher."""
    cents = 100 * number + raised
    key = max(0, min(127, round(cents / 100)))
    bend = MIDDLE + round((cents - 100 * key) * MIDDLE / BEND_CENTS)
    return key, max(0, min(2 * MIDDLE - 1, bend))
