"""Turns the row of a voice into events of the Score."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from stavewright.notation.event_text import event_text
from stavewright.notation.pace import Pace
from stavewright.notation.report import Report
from stavewright.notation.row import Entry, Row, stretched
from stavewright.notation.score import Bar, Event, VoiceBar
from stavewright.notation.source import Span
from stavewright.notation.values import show_value
from stavewright.notation.written import Sound
from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import NoteValue, split


def resolve_events(row: Row, bars: Sequence[Bar], pace: Pace, report: Report) -> tuple[Event, ...]:
    """Give the events of a voice in time."""
    _check_shapes(row, report)
    events = []
    for entry in row.entries:
        item = entry.item
        if not isinstance(item, Sound):  # pragma: no cover - voices hold nothing else
            continue
        fills = row.bars[entry.bar].fills
        bar = bars[entry.bar]
        duration = bar.length if fills else entry.duration
        start = bar.start + entry.offset
        shifted = [head for head in item.heads if head.shift]
        if shifted:
            _check_shift(item, entry.duration, pace.milliseconds(start, entry.duration), report)
        events.append(
            Event(
                start=start,
                duration=duration,
                value=None if fills else entry.value,
                bar=entry.bar,
                heads=item.heads,
                silence=item.silence,
                graces=entry.graces,
                marks=item.marks,
                label=item.label,
                dynamic=entry.dynamic,
                span=item.span,
                label_span=item.label_span,
                value_span=entry.stated.span if entry.stated else None,
            )
        )
    return tuple(events)


def resolve_voice_bars(row: Row, bars: Sequence[Bar]) -> tuple[VoiceBar, ...]:
    """Say what a voice wrote in each bar."""
    return tuple(
        VoiceBar(bar.first, bars[index].length if bar.fills else bar.length, bar.span)
        for index, bar in enumerate(row.bars)
    )


def _check_shift(
    item: Sound, duration: Fraction, milliseconds: Fraction | None, report: Report
) -> None:
    """See that a shift is shorter than its note, which lasts `milliseconds` where that is known."""
    message = "A shift is shorter than its note; this one moves the note past its own length"
    for shift in (head.shift for head in item.heads if head.shift):
        if shift.note_value is not None and 0 < duration <= abs(shift.note_value):
            report.add(item.span, message)
            return
        if shift.milliseconds and milliseconds and milliseconds <= abs(shift.milliseconds):
            report.add(item.span, f"{message}, {round(milliseconds)} ms at this tempo")
            return


def _check_shapes(row: Row, report: Report) -> None:
    """See that each value is one that a single note can show."""
    for run in _runs(row):
        value = run[0].value
        if value is None:
            continue
        try:
            NoteValue.from_length(value)
        except TheoryError as error:
            report.add(_run_span(run), error.message, _tied_run(run, value))


def _runs(row: Row) -> Iterator[list[Entry]]:
    """The entries that each stated value is for: the first of them, as far as one line goes."""
    run: list[Entry] = []
    seen: set[int] = set()
    for entry in row.entries:
        if entry.stated is None or row.bars[entry.bar].fills or row.bars[entry.bar].is_same:
            continue
        if run and _continues(run[-1], entry):
            run.append(entry)
            continue
        if run:
            yield run
            run = []
        if id(entry.stated) not in seen:
            seen.add(id(entry.stated))
            run = [entry]
    if run:
        yield run


def _continues(before: Entry, entry: Entry) -> bool:
    return (
        before.stated is entry.stated
        and before.bar == entry.bar
        and before.in_group == entry.in_group
        and before.item.span.line == entry.item.span.line
    )


def _run_span(run: list[Entry]) -> Span:
    first, last = run[0], run[-1]
    if first.stated and first.stated.span.line == first.item.span.line:
        return stretched(first.stated.span, last.item.span)
    return stretched(first.item.span, last.item.span)


def _tied_run(run: list[Entry], value: Fraction) -> str | None:
    """Write the events again with values that tie up to the one that no note shows."""
    if any(entry.graces or entry.dynamic for entry in run):
        return None
    try:
        parts = [show_value(part.length) for part in split(value)]
    except TheoryError:
        return None
    return " ".join(_tied(entry.item, parts) for entry in run if isinstance(entry.item, Sound))


def _tied(item: Sound, parts: list[str]) -> str:
    if item.silence is not None:
        first = event_text((), item.silence, item.marks, item.label)
        rests = [first, *[item.silence.value] * (len(parts) - 1)]
        return " ".join(f"{part} {rest}" for part, rest in zip(parts, rests, strict=True))
    tied = tuple(replace(head, tied=True) for head in item.heads)
    bare = tuple(replace(head, label=None, shift=None, emphasised=False) for head in tied)
    ends = tuple(replace(head, tied=old.tied) for head, old in zip(bare, item.heads, strict=True))
    texts = [event_text(tied, None, item.marks, item.label)]
    texts += [event_text(bare, None)] * (len(parts) - 2) + [event_text(ends, None)]
    return " ".join(f"{part} {text}" for part, text in zip(parts, texts, strict=True))


def is_onset(events: Sequence[Event], index: int) -> bool:
    """Whether something begins to sound at an event: not a silence, not all of it tied over."""
    event = events[index]
    if not event.heads:
        return False
    before = events[index - 1].heads if index else ()
    held = {head.sound for head in before if head.tied}
    return any(head.sound not in held for head in event.heads)


def onsets(events: Sequence[Event]) -> list[int]:
    """Indices of the events at which something begins to sound."""
    return [index for index in range(len(events)) if is_onset(events, index)]
