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
from typing import Final

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


@dataclass(frozen=True, slots=True, order=True)
class _Happening:
    tick: int
    order: int
    data: bytes


def midi_file(performance: Performance, title: str = "") -> bytes:
    """The file. Music that begins before its written beginning has an empty bar in front."""
    lead = _lead(performance)
    placed = place(performance.notes, float(performance.a4))
    tracks = [_conductor(performance, lead, title)]
    for index, name in enumerate(performance.voices):
        mine = [each for each in placed if each.note.voice == index]
        tracks.append(_voice(mine, lead, name))
    head = struct.pack(">4sIHHH", b"MThd", 6, 1, len(tracks), PARTS)
    return head + b"".join(tracks)


def _lead(performance: Performance) -> Fraction:
    if all(note.start >= 0 for note in performance.notes):
        return Fraction(0)
    return performance.meters[0][1].length if performance.meters else Fraction(1)


def _conductor(performance: Performance, lead: Fraction, title: str) -> bytes:
    events = [_Happening(0, _SETTING, _meta(3, title.encode()))] if title else []
    # What holds from the beginning holds in an empty bar before it, too.
    for at, meter in performance.meters:
        events.append(_Happening(_tick(at and at + lead), _SETTING, _meter(meter)))
    for at, key in performance.keys:
        events.append(_Happening(_tick(at and at + lead), _SETTING, _key(key)))
    for mark in performance.tempos:
        tick = _tick(mark.at and mark.at + lead)
        events.append(_Happening(tick, _SETTING, _tempo(mark.tempo)))
    return _track(events)


def _voice(notes: Sequence[Placed], lead: Fraction, name: str) -> bytes:
    events = [_Happening(0, _OFF, _meta(3, name.encode()))]
    bent = sorted({each.channel for each in notes if each.bend != MIDDLE})
    events += [_Happening(0, _SETTING, _bend_range(channel)) for channel in bent]
    events += [event for each in notes for event in _sounds(each, lead, each.channel in bent)]
    return _track(events)


def _sounds(placed: Placed, lead: Fraction, is_bent: bool) -> Iterator[_Happening]:
    note = placed.note
    start = _tick(note.start + lead if lead else note.start)
    end = max(start + 1, _tick(note.end + lead if lead else note.end))
    channel, key = placed.channel, placed.key
    if is_bent and channel != PERCUSSION:
        low, high = placed.bend & 0x7F, placed.bend >> 7
        yield _Happening(start, _BEND, bytes((0xE0 | channel, low, high)))
    yield _Happening(start, _ON, bytes((0x90 | channel, key, note.loudness)))
    yield _Happening(end, _OFF, bytes((0x80 | channel, key, 64)))


def _track(events: Sequence[_Happening]) -> bytes:
    parts = []
    before = 0
    for event in sorted(events):
        parts += [_length(event.tick - before), event.data]
        before = event.tick
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


def _length(number: int) -> bytes:
    """A number in sevens of bits, the first with the highest bit set but in the last byte."""
    found = [number & 0x7F]
    while number := number >> 7:
        found.append(0x80 | number & 0x7F)
    return bytes(reversed(found))


def _tick(time: Fraction) -> int:
    return nearest(time, 4 * PARTS)
