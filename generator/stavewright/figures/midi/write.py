"""A performance as a Standard MIDI File.

Standard MIDI Files 1.0 (MMA, 1996), format 1: a first track of tempos, metres and keys, then one
track a voice. A quarter has 10080 ticks, which every binary note value down to a 128th and every
3rd, 5th, 7th and 9th of them divides; other shifts are rounded to a tick, 62 microseconds at 96
quarters a minute.
"""

import struct
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

from stavewright.figures.midi.channels import BEND_CENTS, MIDDLE, PERCUSSION, Placed, place
from stavewright.figures.sound.performance import Performance
from stavewright.figures.timeline import nearest
from stavewright.notation.score import Tempo
from stavewright.theory import Key, Meter, Mode

PARTS: Final = 10_080
"""Ticks in a quarter."""
_MOST_SIGNS: Final = 7
_OFF, _SETTING, _BEND, _ON = range(4)
"""The order of what happens at one tick."""


class _Happening(NamedTuple):
    """What is sent at a tick of the file; in the order it is sent."""

    tick: int
    order: int
    data: bytes


@dataclass(frozen=True, slots=True)
class _Watch:
    """Tells the time of a performance in ticks of the file."""

    lead: int
    """Ticks of the performance that an empty bar in front of it lasts; 0 where there is none."""
    whole: int
    """Ticks of the performance in a whole note."""

    def at(self, tick: int) -> int:
        """When a moment of the performance comes."""
        return nearest((tick + self.lead) * 4 * PARTS, self.whole)

    def since(self, tick: int) -> int:
        """When what holds from a moment on is said: from the beginning, before an empty bar."""
        return self.at(tick) if tick else 0


def midi_file(performance: Performance, title: str = "") -> bytes:
    """The file. Music that begins before its written beginning has an empty bar in front."""
    watch = _Watch(_lead(performance), performance.resolution.ticks)
    placed = place(performance.notes, float(performance.a4))
    tracks = [_conductor(performance, watch, title)]
    for index, name in enumerate(performance.voices):
        mine = [each for each in placed if each.note.voice == index]
        tracks.append(_voice(mine, watch, name))
    head = struct.pack(">4sIHHH", b"MThd", 6, 1, len(tracks), PARTS)
    return head + b"".join(tracks)


def _lead(performance: Performance) -> int:
    if all(note.start >= 0 for note in performance.notes):
        return 0
    bar = performance.meters[0][1].length if performance.meters else Fraction(1)
    return performance.resolution.in_ticks(bar)


def _conductor(performance: Performance, watch: _Watch, title: str) -> bytes:
    events = [_Happening(0, _SETTING, _meta(3, title.encode()))] if title else []
    said = [(at, _meter(meter)) for at, meter in performance.meters]
    said += [(at, _key(key)) for at, key in performance.keys]
    said += [(mark.at, _tempo(mark.tempo)) for mark in performance.tempos]
    events += [_Happening(watch.since(at), _SETTING, data) for at, data in said]
    return _track(events)


def _voice(notes: Sequence[Placed], watch: _Watch, name: str) -> bytes:
    events = [_Happening(0, _OFF, _meta(3, name.encode()))]
    bent = sorted({each.channel for each in notes if each.bend != MIDDLE})
    events += [_Happening(0, _SETTING, _bend_range(channel)) for channel in bent]
    for each in notes:
        events += _sounds(each, watch, each.channel in bent)
    return _track(events)


def _sounds(placed: Placed, watch: _Watch, is_bent: bool) -> Iterator[_Happening]:
    note, channel, key = placed.note, placed.channel, placed.key
    start = watch.at(note.start)
    end = max(start + 1, watch.at(note.end))
    if is_bent and channel != PERCUSSION:
        low, high = placed.bend & 0x7F, placed.bend >> 7
        yield _Happening(start, _BEND, bytes((0xE0 | channel, low, high)))
    yield _Happening(start, _ON, bytes((0x90 | channel, key, note.loudness)))
    yield _Happening(end, _OFF, bytes((0x80 | channel, key, 64)))


def _track(events: Sequence[_Happening]) -> bytes:
    parts = []
    before = 0
    for tick, _, data in sorted(events):
        parts += [_length(tick - before), data]
        before = tick
    body = b"".join([*parts, b"\0", _meta(0x2F, b"")])
    return struct.pack(">4sI", b"MTrk", len(body)) + body


def _bend_range(channel: int) -> bytes:
    """Registered parameter 0: how far a bend goes, in half steps and cents."""
    control = 0xB0 | channel
    pairs = ((101, 0), (100, 0), (6, BEND_CENTS // 100), (38, 0))
    # The first stands right after a time; each of the others needs one of its own, nothing.
    return b"\0".join(bytes((control, *pair)) for pair in pairs)


def _meter(meter: Meter) -> bytes:
    """Figures, clocks of a 24th of a quarter to a click, and 32nds to a quarter."""
    click = min(255, int(meter.beats[0] * 4 * 24))
    power = meter.unit.bit_length() - 1
    return _meta(0x58, bytes((sum(meter.groups), power, max(1, click), 8)))


def _key(key: Key) -> bytes:
    """Sharps or flats, and whether it is minor; a theoretical key as its practical equal."""
    signature = key.practical.signature if abs(key.signature) > _MOST_SIGNS else key.signature
    return _meta(0x59, struct.pack(">bB", signature, key.mode in (Mode.MINOR, Mode.AEOLIAN)))


def _tempo(tempo: Tempo) -> bytes:
    quarter = round(60_000_000 / (tempo.per_minute * tempo.unit * 4))
    return _meta(0x51, min(quarter, 0xFFFFFF).to_bytes(3, "big"))


def _meta(kind: int, data: bytes) -> bytes:
    return bytes((0xFF, kind)) + _length(len(data)) + data


@lru_cache(maxsize=256)  # times between events, of which a piece has few
def _length(number: int) -> bytes:
    """A number in sevens of bits, the first with the highest bit set but in the last byte."""
    found = [number & 0x7F]
    while number := number >> 7:
        found.append(0x80 | number & 0x7F)
    return bytes(reversed(found))
