"""From the page's time to the time of a performance.

The page has each bar once; a performance has it as often as it is played. A fermata slows whatever
it stands over to two thirds of the tempo, so that it lasts half as long again: a modest hold, since
how long is the player's choice.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from stavewright.figures.sound.performance import TempoMark
from stavewright.figures.sound.route import route
from stavewright.figures.timeline import TempoMap
from stavewright.notation.score import Bar, EventMark, Score, Tempo, TempoChange

FERMATA: Final = Fraction(2, 3)
"""Of the tempo that holds."""


@dataclass(frozen=True, slots=True)
class Pass:
    """One bar, one of the times that it is played."""

    bar: int
    """Index into `Score.bars`."""
    start: Fraction
    """Where the bar begins on the page."""
    at: Fraction
    """Whole notes from the beginning of the performance."""
    seconds: Fraction
    """When it begins."""
    shift: Fraction
    """Whole notes from a moment of the page to the same one here."""
    delay: Fraction
    """Seconds from a moment of the page to the same one here."""


def passes(score: Score, tempos: TempoMap) -> tuple[Pass, ...]:
    """Every bar as it is played, in order."""
    found = []
    at = seconds = Fraction(0)
    for index in route(score.bars):
        bar = score.bars[index]
        delay = seconds - tempos.seconds_at(bar.start)
        found.append(Pass(index, bar.start, at, seconds, at - bar.start, delay))
        at += bar.length
        seconds += _between(tempos, bar.start, bar.start + bar.length)
    return tuple(found)


def played(here: Pass, time: Fraction) -> Fraction:
    """A moment of the page as it comes in a pass, in whole notes."""
    return here.shift + time if here.shift else time


def heard(here: Pass, time: Fraction, tempos: TempoMap) -> Fraction:
    """A moment of the page as it comes in a pass, in seconds."""
    seconds = tempos.seconds_at(time)
    return here.delay + seconds if here.delay else seconds


def held_tempos(score: Score) -> TempoMap:
    """The tempos of a score, slower under its fermatas."""
    plain = TempoMap.of(score)
    holds = tuple(
        (event.start, event.end)
        for voice in score.voices
        for event in voice.events
        if EventMark.FERMATA in event.marks and event.duration
    )
    if not holds:
        return plain
    moments = sorted({*plain.starts, *(moment for hold in holds for moment in hold)})
    changes = [TempoChange(at, _held(plain.tempo_at(at), at, holds)) for at in moments]
    return TempoMap.of(replace(score, tempo_changes=tuple(changes)))


def tempo_marks(score: Score, order: Sequence[Pass], tempos: TempoMap) -> tuple[TempoMark, ...]:
    """The tempos in the order they are played, each said where it is another than before."""
    marks: list[TempoMark] = []
    for here in order:
        end = here.start + score.bars[here.bar].length
        inside = [start for start in tempos.starts if here.start < start < end]
        for time in (here.start, *inside):
            tempo = tempos.tempo_at(time)
            if not marks or marks[-1].tempo != tempo:
                marks.append(TempoMark(played(here, time), tempo))
    return tuple(marks) or (TempoMark(Fraction(0), tempos.tempos[0]),)


def span(bars: Sequence[Bar], order: Sequence[Pass], tempos: TempoMap) -> Fraction:
    """How many seconds the bars last as they are played."""
    if not order:
        return Fraction(0)
    last = order[-1]
    return heard(last, last.start + bars[last.bar].length, tempos)


def _held(tempo: Tempo, at: Fraction, holds: Sequence[tuple[Fraction, Fraction]]) -> Tempo:
    if any(start <= at < end for start, end in holds):
        return Tempo(tempo.unit, tempo.per_minute * FERMATA)
    return tempo


def _between(tempos: TempoMap, start: Fraction, end: Fraction) -> Fraction:
    return tempos.seconds_at(end) - tempos.seconds_at(start)
