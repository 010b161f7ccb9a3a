"""A Score as it is read aloud: what is said of each event and symbol, and when it comes.

Bar by bar or note by note, the same is said of them; so it is worked out here, once.

Times are whole numbers of a part of a whole note that holds them all: every moment is laid beside
every event of its bar, and Fractions compare much slower.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from math import lcm

from stavewright.figures.spoken.changes import changes_in
from stavewright.figures.spoken.events import UNNAMED, told_events, voice_words
from stavewright.figures.spoken.symbols import (
    bass_figure_words,
    chord_event_words,
    numeral_event_words,
)
from stavewright.notation.score import BassFigureEvent, ChordEvent, Event, NumeralEvent, Score


@dataclass(frozen=True, slots=True)
class ToldEvent:
    """An event in words, and where it stands."""

    voice: int
    """Index into `Score.voices`."""
    index: int
    """Index into the voice's events."""
    event: Event
    words: str
    """Empty where it is silent and unprinted."""
    start: int
    """In parts of a whole note, as `end`."""
    end: int


@dataclass(frozen=True, slots=True)
class Remark:
    """What is said at a moment: a symbol, or a change."""

    at: int
    """In parts of a whole note."""
    words: str
    """Empty for a gap."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A score whose notes are written out, and all its words."""

    score: Score
    parts: int
    """Of a whole note."""
    names: tuple[str, ...]
    """Of the voices, as they are said."""
    limits: tuple[tuple[int, int], ...]
    """Where each bar begins and ends, in parts of a whole note."""
    events: Mapping[int, Sequence[ToldEvent]]
    """By bar, voice by voice from the top."""
    lines: tuple[tuple[Remark, ...], ...]
    """The chords, the numerals and the figured bass."""
    changes: tuple[Remark, ...]
    """Of key, metre, tempo and clefs, in order."""

    @classmethod
    def of(cls, score: Score) -> "Reading":
        """Find the words of a score."""
        parts = lcm(*{time.denominator for time in _times(score)})
        count = partial(_in_parts, parts)
        events: dict[int, list[ToldEvent]] = {}
        for place, voice in enumerate(score.voices):
            words = told_events(score, voice)
            for index, event in enumerate(voice.events):
                start = count(event.start)
                end = start + count(event.duration)
                told = ToldEvent(place, index, event, words[index], start, end)
                events.setdefault(event.bar, []).append(told)
        lines = (
            [Remark(count(each.start), chord_event_words(each)) for each in score.chords],
            [Remark(count(each.start), numeral_event_words(each)) for each in score.numerals],
            [Remark(count(each.start), bass_figure_words(each)) for each in score.bass_figures],
        )
        return cls(
            score,
            parts,
            tuple(voice_words(voice) for voice in score.voices),
            tuple((count(bar.start), count(bar.start) + count(bar.length)) for bar in score.bars),
            events,
            tuple(tuple(line) for line in lines),
            tuple(Remark(count(time), words) for time, words in changes_in(score)),
        )

    def count(self, time: Fraction) -> int:
        """A moment or length of the score in its parts of a whole note."""
        return _in_parts(self.parts, time)

    @property
    def goes_unnamed(self) -> bool:
        """Whether its one voice was named by no author and so goes without saying."""
        voices = self.score.voices
        return len(voices) == 1 and voices[0].name in UNNAMED


def _in_parts(parts: int, time: Fraction) -> int:
    return time.numerator * (parts // time.denominator)


def _times(score: Score) -> Iterator[Fraction]:
    """Moments and lengths that divide the score as finely as all that is said of it."""
    for bar in score.bars:
        yield from (bar.start, bar.length)
        if bar.meter is not None:
            yield bar.meter.length
    for voice in score.voices:
        for event in voice.events:
            yield from (event.start, event.duration)
    symbols: tuple[Sequence[ChordEvent | NumeralEvent | BassFigureEvent], ...] = (
        score.chords,
        score.numerals,
        score.bass_figures,
    )
    for line in symbols:
        yield from (symbol.start for symbol in line)
    yield from (time for time, _ in changes_in(score))
