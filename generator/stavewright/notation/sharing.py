"""Settles how long symbols last: values they state, take from the chords, or share out.

A bar of chords or numerals without values shares its beats. An empty bar continues the symbol
before it.
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate

from stavewright.notation.limits import MOST_SYMBOLS_SHARING
from stavewright.notation.report import Report
from stavewright.notation.row import Entry, Row
from stavewright.notation.score import Bar, VoiceBar
from stavewright.notation.symbols import SPACE
from stavewright.notation.written import Symbol


def share_bar(row: Row, index: int, grid: Bar, chords: Row | None, report: Report) -> None:
    """Give a duration and a place to the symbols of a bar that says no values.

    `chords` is the line of chords, in this bar already settled, whose values numerals take.
    """
    entries = row.content(index)
    if not entries or row.bars[index].has_values:
        return
    bar = row.bars[index]
    model = chords.content(index) if chords else []
    if len(model) == len(entries):
        durations = tuple(entry.duration for entry in model)
    else:
        shared = shares(len(entries), grid)
        if shared is None and bar.span is not None:
            report.add(bar.span, unshared(len(entries), grid))
        durations = shared or (grid.length / len(entries),) * len(entries)
    starts = accumulate(durations[:-1], initial=Fraction(0))
    for entry, start, duration in zip(entries, starts, durations, strict=True):
        entry.offset, entry.duration = start, duration
    bar.length = sum(durations, Fraction(0))


def shares(count: int, bar: Bar) -> tuple[Fraction, ...] | None:
    """How `count` symbols share a bar; None where they cannot share its beats equally."""
    if count == 1:
        return (bar.length,)
    if count > MOST_SYMBOLS_SHARING:
        return None
    if bar.meter is None:
        return (bar.length / count,) * count
    beats = bar.meter.beats
    if bar.length != bar.meter.length:
        whole, rest = divmod(bar.length, beats[0])
        if rest:
            return None
        beats = (beats[0],) * int(whole)
    if len(beats) % count == 0:
        size = len(beats) // count
        return tuple(sum(beats[n * size : (n + 1) * size], Fraction(0)) for n in range(count))
    if count % len(beats) == 0:
        size = count // len(beats)
        return tuple(beat / size for beat in beats for _ in range(size))
    return None


def unshared(count: int, bar: Bar) -> str:
    """Say that the symbols of a bar need values."""
    where = f"a bar of {bar.meter}" if bar.meter else "this bar"
    return f"{count} symbols do not share the beats of {where} equally; say the values"


def lasting(row: Row, bars: Sequence[Bar]) -> list[Fraction]:
    """How long each symbol holds, through the empty bars that follow it."""
    durations = [entry.duration for entry in row.entries]
    index = 0
    while index < len(row.bars):
        bar = row.bars[index]
        following = index + 1
        while following < len(row.bars) and not row.content(following):
            following += 1
        if row.content(index) and following > index + 1:
            durations[bar.last - 1] = _run_on(row, bars, index, following)
        index = following
    return durations


def _run_on(row: Row, bars: Sequence[Bar], index: int, following: int) -> Fraction:
    """How long the last symbol of a bar holds if all bars before `following` are empty."""
    last = row.entries[row.bars[index].last - 1]
    return run_on(last.offset, last.duration, bars[index], bars[index + 1 : following])


def run_on(offset: Fraction, duration: Fraction, bar: Bar, empty: Sequence[Bar]) -> Fraction:
    """How long a symbol holds that lasts `duration` in its own bar, and then through empty ones.

    It holds to the end of the last, unless it fills more than its own bar already.
    """
    following = sum((each.length for each in empty), Fraction(0))
    return max(duration, bar.length - offset) + following


def is_gap(entry: Entry) -> bool:
    """Whether an entry of the chords line is silent: a `space`, or what could not be read."""
    return isinstance(entry.item, Symbol) and entry.item.text == SPACE


def symbol_bars(row: Row, bars: Sequence[Bar], *, gaps_count: bool) -> tuple[VoiceBar, ...]:
    """What a line of symbols wrote in each bar; an empty bar is as long as the bar.

    Without `gaps_count` gaps are not among the events that `first` counts.
    """
    found = []
    first = 0
    for index, bar in enumerate(row.bars):
        content = row.content(index)
        found.append(VoiceBar(first, bar.length if content else bars[index].length, bar.span))
        first += len(content) if gaps_count else sum(not is_gap(entry) for entry in content)
    return tuple(found)
