"""Turns the lines of chords and numerals into events of the Score."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from stavewright.notation.report import Report
from stavewright.notation.resolve_changes import Changes
from stavewright.notation.row import Row, RowChange
from stavewright.notation.score import Bar, ChordEvent, NumeralEvent
from stavewright.notation.sharing import is_gap, lasting
from stavewright.notation.written import KeySign, Symbol
from stavewright.theory.chord import Chord
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key
from stavewright.theory.numeral import Numeral


def resolve_chords(row: Row, bars: Sequence[Bar]) -> tuple[ChordEvent, ...]:
    """Give the chord events of a row whose durations are settled."""
    events = []
    for entry, duration in zip(row.entries, lasting(row, bars), strict=True):
        item = entry.item
        if not isinstance(item, Symbol) or is_gap(entry):
            continue
        chord = item.meaning if isinstance(item.meaning, Chord) else None
        start = bars[entry.bar].start + entry.offset
        events.append(ChordEvent(start, duration, chord, item.text, item.label, item.span))
    return tuple(events)


def resolve_numerals(
    row: Row, bars: Sequence[Bar], key: Key | None, changes: Changes, report: Report
) -> tuple[NumeralEvent, ...]:
    """Give the numeral events of a row whose durations are settled, each in its local key."""
    local = LocalKey(key, changes)
    own = [change for bar in row.bars for change in bar.changes]
    at = 0
    events: list[NumeralEvent] = []
    missing = False
    for index, (entry, duration) in enumerate(zip(row.entries, lasting(row, bars), strict=True)):
        item = entry.item
        start = bars[entry.bar].start + entry.offset
        local.reset(start)
        while at < len(own) and own[at].index <= index:
            _enter(own[at], events, local, report)
            at += 1
        here = local.key
        if not isinstance(item, Symbol):  # pragma: no cover - no other items in the row
            continue
        numeral = item.meaning if isinstance(item.meaning, Numeral) else None
        if numeral and here is None and not missing:
            missing = True
            message = "A numeral is read in a key; give the block a `key:` or write key( ) here"
            report.add(item.span, message, rule="numeral-symbol")
        _check(numeral, here, item, report)
        text = item.text if numeral else ""
        events.append(
            NumeralEvent(start, duration, numeral, here, text, label=item.label, span=item.span)
        )
    for change in own[at:]:
        _enter(change, events, local, report)
    return tuple(events)


class LocalKey:
    """The key that numerals are read in, moment by moment."""

    def __init__(self, key: Key | None, changes: Changes) -> None:
        self.key = key
        self._coming = list(reversed(changes.keys))

    def reset(self, start: Fraction) -> None:
        """Take the changes of key that the voices have made by now, each once."""
        while self._coming and self._coming[-1].at <= start:
            self.key = self._coming.pop().key


def _enter(change: RowChange, events: list[NumeralEvent], local: LocalKey, report: Report) -> None:
    sign = change.change
    if not isinstance(sign, KeySign):
        return
    local.key = sign.key
    if sign.pivot is None:
        return
    if not events or events[-1].numeral is None:
        report.add(sign.span, "A pivot re-reads the numeral before it, and there is none")
        return
    if events[-1].pivot is not None:
        report.add(sign.span, "A pivot re-reads a numeral once; this is a second time")
        return
    events[-1] = replace(events[-1], pivot=sign.pivot, pivot_key=sign.key, pivot_span=sign.span)
    try:
        sign.pivot.chord(sign.key)
    except TheoryError as error:
        report.add(sign.span, error.message, rule="numeral-symbol")


def _check(numeral: Numeral | None, key: Key | None, item: Symbol, report: Report) -> None:
    """See that the numeral has a meaning in its key."""
    if numeral is None or key is None:
        return
    try:
        numeral.chord(key)
    except TheoryError as error:
        # The place is one in the numeral's text, which the item's span covers.
        column = item.span.column
        span = replace(
            item.span,
            column=column + min(error.start, len(item.text)),
            end_column=column + min(max(error.end, error.start), len(item.text)),
        )
        if error.text != item.text:
            span = item.span
        suggestion = error.suggestion if error.text == item.text else error.repaired
        report.add(span, error.message, suggestion, rule="numeral-symbol")
