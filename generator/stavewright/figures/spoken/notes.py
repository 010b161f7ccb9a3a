"""A Score note by note: at each moment what begins, voice by voice from the top, and what is held.

Bar by bar each voice is read along; here the score is read upright, as a musician reads a chord.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import Final

from stavewright.figures.spoken.events import UNNAMED, event_words, voice_words
from stavewright.figures.spoken.places import bar_name, moment_name
from stavewright.figures.spoken.symbols import (
    bass_figure_words,
    chord_event_words,
    numeral_event_words,
)
from stavewright.figures.spoken.tones import listed, pitch_words
from stavewright.figures.spoken.whole import after_bar, before_bar
from stavewright.notation.score import (
    BassFigureEvent,
    ChordEvent,
    Event,
    NumeralEvent,
    Score,
    Voice,
)
from stavewright.theory.pitch import Pitch

MOST: Final = 240
"""Moments that are said one by one; a longer piece is read bar by bar from there on."""


@dataclass(frozen=True, slots=True)
class _Moment:
    """A time at which anything begins."""

    bar: int
    time: Fraction
    at: int
    """The time in parts of a whole note, see `_Reading`."""
    place: int
    """Tells bare note heads apart, which take no time."""


@dataclass(frozen=True, slots=True)
class _Placed:
    """An event and where it stands."""

    voice: Voice
    index: int
    event: Event
    start: int
    """In parts of a whole note, see `_Reading`."""
    end: int


@dataclass(frozen=True, slots=True)
class _Reading:
    """A score with its events at hand, bar by bar.

    Times are whole numbers of some part of a whole note that holds them all: every moment is laid
    beside every event of its bar, and Fractions compare much slower.
    """

    score: Score
    parts: int
    """Of a whole note."""
    bars: Mapping[int, Sequence[_Placed]]
    """Voice by voice from the top."""

    @classmethod
    def of(cls, score: Score) -> "_Reading":
        times = [it for v in score.voices for e in v.events for it in (e.start, e.duration)]
        times += [symbol.start for symbol in _symbols_of(score)]
        parts = lcm(*{time.denominator for time in times})
        bars: dict[int, list[_Placed]] = {}
        for voice in score.voices:
            for index, event in enumerate(voice.events):
                start = _count(event.start, parts)
                end = start + _count(event.duration, parts)
                bars.setdefault(event.bar, []).append(_Placed(voice, index, event, start, end))
        return cls(score, parts, bars)


def speak_notes(score: Score) -> tuple[str, ...]:
    """One sentence for each moment at which something begins. The notes are written out."""
    reading = _Reading.of(score)
    moments = _moments(reading)
    said = [_sentence(reading, moments, at) for at in range(min(MOST, len(moments)))]
    if len(moments) > MOST:
        name = bar_name(score, moments[MOST].bar)
        said.append(f"From {name[:1].lower()}{name[1:]} on, read it bar by bar.")
    return tuple(said)


def _symbols_of(score: Score) -> Iterator[ChordEvent | NumeralEvent | BassFigureEvent]:
    yield from score.chords
    yield from score.numerals
    yield from score.bass_figures


def _count(time: Fraction, parts: int) -> int:
    return time.numerator * (parts // time.denominator)


def _moments(reading: _Reading) -> list[_Moment]:
    found: dict[tuple[int, int, int], _Moment] = {}
    for bar, row in reading.bars.items():
        for placed in row:
            place = 0 if placed.event.duration else placed.index
            moment = _Moment(bar, placed.event.start, placed.start, place)
            found.setdefault((bar, placed.start, place), moment)
    begun = {(bar, at) for bar, at, _ in found}
    for symbol in _symbols_of(reading.score):
        at = _count(symbol.start, reading.parts)
        bar_there = _measured_bar(reading.score, symbol.start)
        if bar_there is not None and (bar_there, at) not in begun:
            found[bar_there, at, 0] = _Moment(bar_there, symbol.start, at, 0)
    return [found[key] for key in sorted(found)]


def _measured_bar(score: Score, time: Fraction) -> int | None:
    """The bar in which a moment lies; none among bare note heads."""
    for index, bar in enumerate(score.bars):
        if bar.meter is not None and bar.start <= time < bar.start + bar.length:
            return index
    return None


def _sentence(reading: _Reading, moments: list[_Moment], at: int) -> str:
    """One moment: where it is, what changes there, what begins, what goes on."""
    here, score = moments[at], reading.score
    is_first = at == 0 or moments[at - 1].bar != here.bar
    is_last = at + 1 == len(moments) or moments[at + 1].bar != here.bar
    parts = [
        *(before_bar(score, here.bar) if is_first else ()),
        *_beginning(reading, here),
        *_held(reading, here),
        *_symbols(score, here),
        *(after_bar(score.bars[here.bar]) if is_last else ()),
    ]
    where = _where(score, here, at)
    return f"{where[:1].upper()}{where[1:]}: {'; '.join(parts) or 'silence'}."


def _where(score: Score, here: _Moment, at: int) -> str:
    if score.bars[here.bar].meter is not None:
        return moment_name(score, here.bar, here.time)
    name = bar_name(score, here.bar)
    return f"{name}, {at + 1}" if name else str(at + 1)


def _beginning(reading: _Reading, here: _Moment) -> Iterator[str]:
    """What each voice begins at the moment."""
    score = reading.score
    for placed in reading.bars.get(here.bar, ()):
        voice, index = placed.voice, placed.index
        is_its_place = bool(placed.event.duration) or index == here.place
        if placed.start == here.at and is_its_place:
            words = ", ".join(event_words(score, voice, index))
            is_alone = len(score.voices) == 1 and voice.name in UNNAMED
            name = voice_words(voice)
            # A snare in the snare's voice needs no other name.
            if words:
                yield words if is_alone or words.startswith(name) else f"{name}, {words}"


def _held(reading: _Reading, here: _Moment) -> Iterator[str]:
    """What began before in the bar and goes on."""
    is_alone = len(reading.score.voices) == 1
    held = [
        listed(pitches) if is_alone else f"{voice_words(placed.voice)} {listed(pitches)}"
        for placed in reading.bars.get(here.bar, ())
        if placed.start < here.at < placed.end and (pitches := _pitches(placed.event))
    ]
    if held:
        yield f"held on: {', '.join(held)}"


def _pitches(event: Event) -> list[str]:
    """What an event holds; percussion is struck and gone."""
    return [pitch_words(head.sound) for head in event.heads if isinstance(head.sound, Pitch)]


def _symbols(score: Score, here: _Moment) -> Iterator[str]:
    """The chord symbol, numeral and figures that begin at the moment."""
    if here.place and score.bars[here.bar].meter is not None:
        return
    for chord in score.chords:
        if chord.start == here.time:
            yield chord_event_words(chord)
    for numeral in score.numerals:
        if numeral.start == here.time and numeral.numeral is not None:
            yield numeral_event_words(numeral)
    for figures in score.bass_figures:
        if figures.start == here.time and figures.figures:
            yield bass_figure_words(figures)
