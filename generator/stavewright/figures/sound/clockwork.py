"""From the page's time to the time of a performance.

The page has each bar once; a performance has it as often as it is played. A fermata slows whatever
it stands over to two thirds of the tempo, so that it lasts half as long again: a modest hold, since
how long is the player's choice.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm
from typing import Final

from stavewright.figures.sound.performance import Resolution, TempoMark
from stavewright.figures.sound.route import route
from stavewright.figures.timeline import TempoMap
from stavewright.notation.score import EventMark, Score, Tempo, TempoChange

FERMATA: Final = Fraction(2, 3)
"""Of the tempo that holds."""


@dataclass(frozen=True, slots=True)
class Clock:
    """The tempos of a score in ticks and instants, for turning the one into the other."""

    resolution: Resolution
    starts: tuple[int, ...]
    """The tick of the page where each tempo begins; the first 0."""
    instants: tuple[int, ...]
    """When each begins."""
    paces: tuple[int, ...]
    """Instants that a tick lasts at each."""
    tempos: tuple[Tempo, ...]

    @classmethod
    def of(cls, tempos: TempoMap, times: Iterable[Fraction]) -> "Clock":
        """A clock on which each of these moments of the page, and each tempo, has its own tick."""
        ticks = lcm(*{time.denominator for time in (*times, *tempos.starts)})
        # A whole note lasts so many parts of a second at any of the tempos.
        parts = lcm(*{pace.denominator for pace in tempos.paces})
        resolution = Resolution(ticks, ticks * parts)
        paces = tuple(pace.numerator * (parts // pace.denominator) for pace in tempos.paces)
        starts = tuple(resolution.in_ticks(start) for start in tempos.starts)
        instants = tuple(int(seconds * resolution.instants) for seconds in tempos.seconds)
        return cls(resolution, starts, instants, paces, tempos.tempos)

    def at(self, tick: int) -> int:
        """The instant of a tick of the page; before the beginning at the first tempo."""
        if len(self.starts) == 1:
            return tick * self.paces[0]
        index = self._index(tick)
        return self.instants[index] + (tick - self.starts[index]) * self.paces[index]

    def tempo_at(self, tick: int) -> Tempo:
        """The tempo that holds at a tick of the page."""
        return self.tempos[self._index(tick)]

    def _index(self, tick: int) -> int:
        return max(0, bisect_right(self.starts, tick) - 1)


@dataclass(frozen=True, slots=True)
class Pass:
    """One bar, one of the times that it is played."""

    bar: int
    """Index into `Score.bars`."""
    start: int
    """The tick of the page where the bar begins."""
    end: int
    """The tick of the page where it ends."""
    shift: int
    """Ticks from a moment of the page to the same one here."""
    delay: int
    """Instants from a moment of the page to the same one here."""

    @property
    def at(self) -> int:
        """Ticks from the beginning of the performance."""
        return self.start + self.shift


def passes(score: Score, clock: Clock) -> tuple[Pass, ...]:
    """Every bar as it is played, in order."""
    in_ticks = clock.resolution.in_ticks
    found = []
    tick = instant = 0
    for index in route(score.bars):
        bar = score.bars[index]
        start = in_ticks(bar.start)
        end = start + in_ticks(bar.length)
        begins, ends = clock.at(start), clock.at(end)
        found.append(Pass(index, start, end, tick - start, instant - begins))
        tick += end - start
        instant += ends - begins
    return tuple(found)


def held_tempos(score: Score) -> TempoMap:
    """The tempos of a score, slower under its fermatas."""
    plain = TempoMap.of(score)
    holds = tuple(
        (event.start, event.end)
        for voice in score.voices
        for event in voice.events
        if event.marks and EventMark.FERMATA in event.marks and event.duration
    )
    if not holds:
        return plain
    moments = sorted({*plain.starts, *(moment for hold in holds for moment in hold)})
    changes = [TempoChange(at, _held(plain.tempo_at(at), at, holds)) for at in moments]
    return TempoMap.of(replace(score, tempo_changes=tuple(changes)))


def tempo_marks(order: Sequence[Pass], clock: Clock) -> tuple[TempoMark, ...]:
    """The tempos in the order they are played, each said where it is another than before."""
    marks: list[TempoMark] = []
    for here in order:
        inside = [start for start in clock.starts if here.start < start < here.end]
        for tick in (here.start, *inside):
            tempo = clock.tempo_at(tick)
            if not marks or marks[-1].tempo != tempo:
                marks.append(TempoMark(tick + here.shift, tempo))
    return tuple(marks) or (TempoMark(0, clock.tempos[0]),)


def span(order: Sequence[Pass], clock: Clock) -> int:
    """How many instants the bars last as they are played."""
    return clock.at(order[-1].end) + order[-1].delay if order else 0


def _held(tempo: Tempo, at: Fraction, holds: Sequence[tuple[Fraction, Fraction]]) -> Tempo:
    if any(start <= at < end for start, end in holds):
        return Tempo(tempo.unit, tempo.per_minute * FERMATA)
    return tempo
