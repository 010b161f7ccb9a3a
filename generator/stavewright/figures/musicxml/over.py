"""What stands over the bars of the top staff of a MusicXML document."""

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from stavewright.figures.mei.staves import staff_interval
from stavewright.figures.musicxml.attributes import write_tempo
from stavewright.figures.musicxml.context import Place
from stavewright.figures.musicxml.symbols import write_chord, write_numeral
from stavewright.notation.score import Score


@dataclass(frozen=True, slots=True)
class Over:
    """A tempo, a chord symbol or a numeral."""

    at: Fraction
    write: Callable[[Place], None]
    may_end: bool = False
    """Whether it may stand where the last bar ends."""


def over_bars(score: Score) -> dict[int, list[Over]]:
    """By bar what stands there, first the tempos, then the chord symbols, then the numerals."""
    starts = [bar.start for bar in score.bars]
    last = len(starts) - 1
    found: dict[int, list[Over]] = {}
    for each in _all(score):
        index = bisect_right(starts, each.at) - 1
        if index < 0:
            continue
        end = starts[index] + score.bars[index].length
        if each.at < end or (each.may_end and index == last and each.at == end):
            found.setdefault(index, []).append(each)
    return found


def _all(score: Score) -> Iterator[Over]:
    for change in score.tempo_changes:
        yield Over(change.at, partial(write_tempo, tempo=change.tempo, swing=None))
    interval = staff_interval(score, 0)
    for chord in score.chords:
        write = partial(write_chord, event=chord, transposition=interval)
        yield Over(chord.start, write, may_end=True)
    key = score.key
    for numeral in score.numerals:
        yield Over(numeral.start, partial(write_numeral, event=numeral, before=key))
        key = numeral.pivot_key or numeral.key or key
