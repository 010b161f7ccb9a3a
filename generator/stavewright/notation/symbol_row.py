"""Builds the row of a line of symbols: chords, numerals, figured bass.

Here a value holds to the next bar sign only; symbols without values share their bar, which is
settled when the bars are laid out.
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from stavewright.notation.limits import MOST_EVENTS
from stavewright.notation.report import Report
from stavewright.notation.row import Entry, Row, RowBar, RowBuilder, stretched
from stavewright.notation.source import Span
from stavewright.notation.values import show_value
from stavewright.notation.written import (
    Barline,
    Close,
    Dynamic,
    Item,
    LineStart,
    Open,
    Sound,
    Split,
    Symbol,
    Value,
)


def build_symbols(items: Sequence[Item], report: Report) -> Row:
    """Build the row of a line of symbols."""
    builder = _SymbolBuilder(report)
    for item in items:
        builder.add(item)
    return builder.close()


class _SymbolBuilder(RowBuilder):
    """Keeps the value that holds to the next bar sign."""

    def __init__(self, report: Report) -> None:
        super().__init__(report)
        self._value: Fraction | None = None
        self._opened = 0
        """Groups that were refused; their `)` is still to come."""

    def _shut(self, item: Close | Split) -> None:
        if not self._opened:
            self.report.add(item.span, "This ) closes nothing", "")
        elif isinstance(item, Close):
            self._opened -= 1

    def add(self, item: Item) -> None:
        """Take the next item."""
        match item:
            case Symbol():
                self._symbol(item)
            case Value():
                self._value = item.value or self._value
            case Barline():
                self._value = None
                self.barline(item)
            case LineStart():
                self.line_start()
            case Close() | Split():
                self._shut(item)
            case Open():
                self._opened += 1
            case Sound() | Dynamic():  # pragma: no cover - no line of symbols reads these
                return
            case _:
                self.place(item)

    def _symbol(self, item: Symbol) -> None:
        if self.sealed(item.span):
            return
        if len(self.row.entries) >= MOST_EVENTS:
            self._full = True
            self.report.add(item.span, f"A line has at most {MOST_EVENTS} symbols")
            return
        bar = self.open_bar()
        if self._value is None and bar.has_values:
            value = self.row.entries[-1].duration
            message = "Either every symbol of a bar has a value, or none has"
            self.report.add(item.span, message, f"{show_value(value)} {item.text}")
            self._value = value
        elif self._value is not None and not bar.has_values and bar.last > bar.first:
            self._give_values(bar)
        bar.has_values = self._value is not None
        duration = self._value or Fraction(0)
        entry = Entry(item, len(self.row.bars) - 1, bar.length, duration, self._value)
        self.row.entries.append(entry)
        bar.length += duration
        bar.last = len(self.row.entries)
        bar.span = stretched(bar.span, item.span)

    def _give_values(self, bar: RowBar) -> None:
        """Some symbols stand before the bar's first value: take that value for them too."""
        first = self.row.entries[bar.first].item
        value = self._value or Fraction(0)
        message = "A value stands before the first symbol that it is for"
        text = first.text if isinstance(first, Symbol) else ""
        self.report.add(first.span, message, f"{show_value(value)} {text}")
        for entry in self.row.entries[bar.first : bar.last]:
            entry.offset, entry.duration, entry.value = bar.length, value, value
            bar.length += value

    def copy(self, pattern: RowBar, bar: RowBar, span: Span) -> None:
        """Repeat a bar's symbols."""
        number = len(self.row.bars) - 1
        for entry in self.row.entries[pattern.first : pattern.last]:
            if len(self.row.entries) >= MOST_EVENTS:
                return
            self.row.entries.append(replace(entry, bar=number, item=replace(entry.item, span=span)))
        bar.last = len(self.row.entries)
        bar.length = pattern.length
        bar.has_values = pattern.has_values
