"""Where in its bar a moment lies: how heavy it is, and how a musician names it."""

from bisect import bisect_right
from fractions import Fraction

from stavewright.checking.words import article, count_word, counted
from stavewright.notation.score import Bar, Score
from stavewright.theory.meter import Meter, MeterKind

DOWNBEAT = 3
"""The first beat of a bar."""
STRONG = 2
"""The middle of a bar of four or more beats, or the start of a stated group."""
BEAT = 1
OFF_BEAT = 0

_UNIT_NAMES = {
    1: "whole note",
    2: "half note",
    4: "quarter",
    8: "eighth",
    16: "sixteenth",
    32: "thirty-second",
}

_PARTS = {
    Fraction(1, 4): ("a quarter of", "a quarter"),
    Fraction(1, 2): ("half", "a half"),
    Fraction(3, 4): ("three quarters of", "three-quarter"),
}
"""Parts of a beat that have plain words: alone, and after whole beats."""


def bar_at(score: Score, time: Fraction) -> Bar | None:
    """The bar a moment lies in; None before the first and after the last."""
    at = bisect_right(score.bars, time, key=lambda bar: bar.start) - 1
    if at < 0 or time >= score.bars[at].start + score.bars[at].length:
        return None
    return score.bars[at]


def weight_at(score: Score, time: Fraction) -> int:
    """How heavy a moment is: DOWNBEAT, STRONG, BEAT or OFF_BEAT; BEAT where there is no metre."""
    bar = bar_at(score, time)
    if bar is None or bar.meter is None:
        return BEAT
    place = _place(bar, time)
    starts = bar.meter.beat_starts
    if place == 0:
        return DOWNBEAT
    if place not in starts:
        return OFF_BEAT
    if place in bar.meter.group_starts:
        return STRONG
    halves = len(starts) % 2 == 0 and len(starts) >= 4 and place == starts[len(starts) // 2]
    return STRONG if halves else BEAT


def beat_length(score: Score, time: Fraction) -> Fraction:
    """How long the beat is at a moment; a quarter note where there is no metre."""
    bar = bar_at(score, time)
    return min(bar.meter.beats) if bar is not None and bar.meter is not None else Fraction(1, 4)


def place_words(score: Score, time: Fraction) -> str:
    """Name a moment: `bar 2, beat 3`, `bar 2, after beat 3`; `bar 2` where there is no metre."""
    bar = bar_at(score, time)
    if bar is None:
        return "the end"
    name = f"bar {bar.number}" if bar.number else "the pickup"
    if bar.meter is None:
        return name
    place = _place(bar, time)
    passed = [start for start in bar.meter.beat_starts if start <= place]
    joint = "beat" if passed[-1] == place else "after beat"
    return f"{name}, {joint} {len(passed)}"


def length_words(length: Fraction, meter: Meter) -> str:
    """Say a length in beats, in units where beats are not plain: `three and a half beats`."""
    one, many = _unit(meter), f"{_unit(meter)}s"
    if meter.kind is MeterKind.SIMPLE:
        one, many = "beat", "beats"
    return _counted(length * meter.unit, one, many) or f"{length} of a whole note"


def _place(bar: Bar, time: Fraction) -> Fraction:
    """Where a moment lies in the full bar that a part-bar is the end of."""
    place = time - bar.start
    if bar.meter is not None and bar.number == 0 and bar.length < bar.meter.length:
        place += bar.meter.length - bar.length
    return place


def _unit(meter: Meter) -> str:
    return _UNIT_NAMES.get(meter.unit, f"1/{meter.unit} note")


def _counted(count: Fraction, one: str, many: str) -> str | None:
    """`three and a half beats`; None for a count that has no such plain words."""
    whole, rest = divmod(count, 1)
    if not rest:
        return counted(int(whole), one, many)
    if rest not in _PARTS:
        return None
    if not whole:
        return f"{_PARTS[rest][0]} {article(one)}"
    return f"{count_word(int(whole))} and {_PARTS[rest][1]} {many}"
