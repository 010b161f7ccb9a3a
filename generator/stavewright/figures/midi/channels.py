"""Which of MIDI's channels each note goes to.

A pitch bend holds for a whole channel, so notes that sound together and differ in cents need one
each. Fifteen channels have pitches; percussion has the tenth to itself (General MIDI 1). Where more
shades sound at once than there are channels, the last channel is shared and its bend follows the
newest note.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
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
    busy: dict[int, Fraction] | None = None
    """When each key is let go."""

    def takes(self, key: int, bend: int, start: Fraction) -> bool:
        sounding = [at for at in (self.busy or {}).values() if at > start]
        if sounding and self.bend != bend:
            return False
        return (self.busy or {}).get(key, start) <= start

    def hold(self, key: int, bend: int, end: Fraction) -> None:
        self.bend = bend
        self.busy = {**(self.busy or {}), key: end}


def place(notes: Sequence[PlayedNote], a4: float) -> tuple[Placed, ...]:
    """Deal notes, in order of their beginnings, out to channels."""
    channels = [_Channel(number) for number in PITCHED]
    found = []
    for note in sorted(notes, key=lambda each: each.start):
        if not isinstance(note.sound, Pitch):
            found.append(Placed(note, PERCUSSION, note.sound.key_number, MIDDLE))
            continue
        key, bend = _key_and_bend(note.sound, a4)
        channel = _choose(channels, note, key, bend)
        channel.hold(key, bend, note.end)
        found.append(Placed(note, channel.number, key, bend))
    return tuple(found)


def _choose(channels: list[_Channel], note: PlayedNote, key: int, bend: int) -> _Channel:
    """A channel that has the bend already, else a free one, in a fixed order."""
    free = [channel for channel in channels if channel.takes(key, bend, note.start)]
    alike = [channel for channel in free if channel.bend == bend and channel.busy]
    fresh = [channel for channel in free if not channel.busy]
    return next(iter(alike or fresh or free), channels[-1])


def _key_and_bend(pitch: Pitch, a4: float) -> tuple[int, int]:
    """The nearest key and the bend from it."""
    cents = 100 * pitch.key_number + 1200 * log2(a4 / 440)
    key = max(0, min(127, round(cents / 100)))
    bend = MIDDLE + round((cents - 100 * key) * MIDDLE / BEND_CENTS)
    return key, max(0, min(2 * MIDDLE - 1, bend))
