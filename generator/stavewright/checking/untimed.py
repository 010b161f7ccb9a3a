"""Gives a block of bare note heads and plain lists a time in which it can be listened to.

Bare heads take no time in the Score, so a chord symbol over them holds for none. What the author
means is plain all the same: the first symbol names the first notes, the second the second, or one
symbol a whole bar. Each head then counts as one whole note; the length says nothing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from typing import Self, TypeVar

from stavewright.notation.score import Bar, ChordEvent, Event, NumeralEvent, Score, VoiceBar

Timed = TypeVar("Timed", Event, ChordEvent, NumeralEvent)


@dataclass(frozen=True, slots=True)
class _Grid:
    """How many places each bar has, and where it begins."""

    counts: tuple[int, ...]
    starts: tuple[Fraction, ...]

    @classmethod
    def of(cls, counts: tuple[int, ...]) -> Self:
        """The grid of bars with so many places each."""
        return cls(counts, tuple(Fraction(n) for n in accumulate(counts[:-1], initial=0)))


def in_time(score: Score) -> Score:
    """The score with one place after another for what takes no time; any other as it is.

    Where the lines of a bar do not match one to one, or all to one, nothing can be said of which
    stands over which, and the score stays as it is.
    """
    if any(bar.length for bar in score.bars) or not score.bars:
        return score
    rows = list(_rows(score))
    counts = tuple(max((row[at] for row in rows), default=0) for at in range(len(score.bars)))
    if any(row[at] not in (0, 1, counts[at]) for row in rows for at in range(len(counts))):
        return score
    grid = _Grid.of(counts)
    return replace(
        score,
        bars=tuple(_timed_bar(bar, grid, at) for at, bar in enumerate(score.bars)),
        voices=tuple(
            replace(voice, events=_timed(voice.events, voice.bars, grid)) for voice in score.voices
        ),
        chords=_timed(score.chords, score.chord_bars, grid),
        numerals=_timed(score.numerals, score.numeral_bars, grid),
    )


def _rows(score: Score) -> Iterator[list[int]]:
    """For each line the number of its events in each bar."""
    lines: list[tuple[Sequence[object], tuple[VoiceBar, ...]]] = [
        *((voice.events, voice.bars) for voice in score.voices),
        (score.chords, score.chord_bars),
        (score.numerals, score.numeral_bars),
    ]
    for events, bars in lines:
        ends = _ends(bars, len(events))
        row = [end - bar.first for bar, end in zip(bars, ends, strict=True)]
        yield row + [0] * (len(score.bars) - len(row))


def _ends(bars: tuple[VoiceBar, ...], count: int) -> list[int]:
    return [bar.first for bar in bars[1:]] + [count] if bars else []


def _timed_bar(bar: Bar, grid: _Grid, at: int) -> Bar:
    return replace(bar, start=grid.starts[at], length=Fraction(grid.counts[at]))


def _timed(events: tuple[Timed, ...], bars: tuple[VoiceBar, ...], grid: _Grid) -> tuple[Timed, ...]:
    """The events of a line, each in its place; one alone in its bar fills it."""
    found: list[Timed] = []
    starts = grid.starts
    for at, (bar, end) in enumerate(zip(bars, _ends(bars, len(events)), strict=True)):
        alone = end - bar.first == 1
        length = Fraction(grid.counts[at] if alone else 1)
        for place, event in enumerate(events[bar.first : end]):
            found.append(replace(event, start=starts[at] + place, duration=length))
    return tuple(found)
