"""Gives figured bass its time: stated values, or one group of figures to each note of the bass."""

from collections.abc import Sequence
from fractions import Fraction

from stavewright.notation.report import Report
from stavewright.notation.resolve_voices import is_onset, onsets
from stavewright.notation.row import Row
from stavewright.notation.score import Bar, BassFigure, BassFigureEvent, Event, Voice, VoiceBar
from stavewright.notation.source import Span
from stavewright.notation.written import Symbol

Onset = tuple[Fraction, Fraction]
"""Start and duration, ties included."""


def bass_onsets(voice: Voice | None) -> dict[int, list[Onset]]:
    """The notes of a voice by the bar they begin in."""
    found: dict[int, list[Onset]] = {}
    if voice is None:
        return found
    for index in onsets(voice.events):
        event = voice.events[index]
        last = _held_to(voice.events, index)
        duration = voice.events[last].end - event.start
        found.setdefault(event.bar, []).append((event.start, duration))
    return found


def _held_to(events: Sequence[Event], index: int) -> int:
    last = index
    while last + 1 < len(events) and events[last + 1].heads and not is_onset(events, last + 1):
        last += 1
    return last


def resolve_figures(
    row: Row, bars: Sequence[Bar], voice: Voice | None, report: Report
) -> tuple[tuple[BassFigureEvent, ...], tuple[VoiceBar, ...]]:
    """Give the events of `bass-figures`, and what stands in each bar.

    A line without values and without bar signs runs on over the bars of the bass.
    """
    notes = bass_onsets(voice)
    if len(row.bars) == 1 and not row.bars[0].has_values:
        return _running(row, len(bars), notes, report)
    events: list[BassFigureEvent] = []
    figure_bars: list[VoiceBar] = []
    for index, bar in enumerate(row.bars):
        if index >= len(bars):
            if bar.span:
                report.add(bar.span, f"The block has {len(bars)} bars, and these figures one more")
            break
        entries = row.content(index)
        first = len(events)
        places = notes.get(index, [])
        if bar.has_values:
            start = bars[index].start
            places = [(start + entry.offset, entry.duration) for entry in entries]
        elif bar.span:
            _count(bar.span, len(entries), len(places), f"this bar of {_name(voice)}", report)
        for entry, (at, duration) in zip(entries, places, strict=False):
            events.append(BassFigureEvent(at, duration, _figures(entry.item), entry.item.span))
        figure_bars.append(VoiceBar(first, bar.length, bar.span))
    return tuple(events), tuple(figure_bars)


def _running(
    row: Row, count: int, notes: dict[int, list[Onset]], report: Report
) -> tuple[tuple[BassFigureEvent, ...], tuple[VoiceBar, ...]]:
    places = [(index, note) for index in range(count) for note in notes.get(index, [])]
    span = row.bars[0].span
    if span:
        _count(span, len(row.entries), len(places), "the bass", report)
    events: list[BassFigureEvent] = []
    firsts: dict[int, int] = {}
    for entry, (bar, (at, duration)) in zip(row.entries, places, strict=False):
        firsts.setdefault(bar, len(events))
        events.append(BassFigureEvent(at, duration, _figures(entry.item), entry.item.span))
    bars = []
    first = len(events)
    for index in range(count - 1, -1, -1):
        first = firsts.get(index, first)
        bars.append(VoiceBar(first, Fraction(0), span))
    return tuple(events), tuple(reversed(bars))


def _name(voice: Voice | None) -> str:
    return voice.name if voice else "the bass"


def _count(span: Span, figures: int, notes: int, where: str, report: Report) -> None:
    if figures != notes:
        message = (
            f"{_counted(figures, 'figure')} here for {_counted(notes, 'note')} of {where};"
            " write one for each note, `rest` for a note without, or say values"
        )
        report.add(span, message)


def _figures(item: object) -> tuple[BassFigure, ...]:
    if isinstance(item, Symbol) and isinstance(item.meaning, tuple):
        return item.meaning
    return ()


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
