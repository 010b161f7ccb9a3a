"""From the items of a timed line to its bars: what stands in which bar, and in what order.

A `Row` is what one voice, or one line of symbols, says in all its written lines together. Events
are placed within their bar; where the bars themselves begin is decided later, for all rows at once.
"""

from abc import ABC, abstractmethod
from dataclasses import dataclass, field
from fractions import Fraction
from math import lcm

from stavewright.notation.limits import MOST_BARS
from stavewright.notation.report import Report
from stavewright.notation.score import BarSign, Grace, Slur, Tuplet
from stavewright.notation.source import Span
from stavewright.notation.written import (
    Barline,
    Change,
    Ending,
    Same,
    Sound,
    Symbol,
    Value,
)


@dataclass(slots=True)
class Entry:
    """One event of a row."""

    item: Sound | Symbol
    bar: int
    offset: Fraction = Fraction(0)
    """From the beginning of its bar."""
    duration: Fraction = Fraction(0)
    value: Fraction | None = None
    """The note value in force; None where none is."""
    stated: Value | None = None
    """Where the value was said."""
    in_group: bool = False
    """Whether it stands in a group in a ratio."""
    graces: tuple[Grace, ...] = ()
    dynamic: str | None = None


@dataclass(slots=True)
class RowChange:
    """A change of key, metre, tempo or clef; it stands before entry `index` of the row."""

    change: Change
    index: int


@dataclass(slots=True)
class RowBar:
    """One bar of a row."""

    first: int
    """Index of its first entry."""
    last: int
    """Index after its last entry."""
    opening: Barline | None
    """The sign before it, if it was written."""
    ending: Ending | None = None
    changes: list[RowChange] = field(default_factory=list)
    has_values: bool = False
    length: Fraction = Fraction(0)
    """What its entries add up to."""
    fills: bool = False
    """Whether it is one rest, which fills it whatever its length."""
    is_same: bool = False
    span: Span | None = None


@dataclass(slots=True)
class Row:
    """All bars of a voice or of a line of symbols."""

    entries: list[Entry] = field(default_factory=list)
    bars: list[RowBar] = field(default_factory=list)
    closing: Barline | None = None
    """The sign after the last bar, if it was written."""
    tuplets: list[Tuplet] = field(default_factory=list)
    slurs: list[Slur] = field(default_factory=list)
    bare: bool = False
    """Whether it is a voice of bare note heads."""

    def content(self, bar: int) -> list[Entry]:
        """The entries of a bar; none for a bar the row does not reach."""
        if bar >= len(self.bars):
            return []
        return self.entries[self.bars[bar].first : self.bars[bar].last]

    def offset_of(self, bar: int, index: int, length: Fraction) -> Fraction:
        """Where entry `index` begins in its bar; after the last entry, where the bar's music ends.

        `length` is the bar's own, which a rest that fills the bar takes.
        """
        here = self.bars[bar]
        if index < here.last:
            return self.entries[index].offset
        return length if here.fills else here.length


class RowBuilder(ABC):
    """Sorts the items of a row into bars. Voices and symbols build on it."""

    def __init__(self, report: Report) -> None:
        self.report = report
        self.row = Row()
        self._sign: Barline | None = None
        """The last bar sign, while nothing stands after it."""
        self._crossed = False
        """Whether a line of the file has ended since that sign."""
        self._is_open = False
        """Whether the last bar of the row takes more entries."""
        self._held: list[Change] = []
        self._held_ending: Ending | None = None
        self._full = False

    def open_bar(self) -> RowBar:
        """Give the bar that the next entry belongs to, begun if need be."""
        if self._is_open:
            return self.row.bars[-1]
        return self._begin(len(self.row.entries))

    def _begin(self, first: int) -> RowBar:
        bar = RowBar(first, first, self._sign, self._held_ending)
        bar.changes = [RowChange(change, first) for change in self._held]
        self._sign, self._held_ending, self._held = None, None, []
        self._is_open = True
        self.row.bars.append(bar)
        return bar

    def line_start(self) -> None:
        """Note that a line of the file begins: at the join one bar sign counts once."""
        self._crossed = True

    def barline(self, item: Barline) -> None:
        """End a bar, or join two signs at the join of two lines, or leave a bar empty."""
        row = self.row
        if self._full:
            return
        if self._is_open:
            self._sign = item
            self._is_open = False
        elif self._sign is None:
            self._sign = item
        elif self._crossed and not self._held and self._held_ending is None:
            self._sign = self._joined(self._sign, item)
        else:
            self._begin(len(row.entries))
            self._sign = item
            self._is_open = False
        self._crossed = False
        self._limit(item.span)

    def _joined(self, first: Barline, second: Barline) -> Barline:
        signs = (first.sign, second.sign)
        if second.sign in (BarSign.SINGLE, first.sign):
            return first
        if first.sign is BarSign.SINGLE:
            return second
        if signs == (BarSign.REPEAT_END, BarSign.REPEAT_START):
            return Barline(BarSign.REPEAT_BOTH, second.span)
        self.report.add(
            second.span,
            f"The line before ends with {first.sign.value} and this one begins with"
            f" {second.sign.value}; one sign stands between two bars",
            first.sign.value,
        )
        return first

    def place(self, item: Ending | Same | Change) -> None:
        """Take an item that every row may hold."""
        if isinstance(item, Ending):
            self.ending(item)
        elif isinstance(item, Same):
            self.same(item)
        else:
            self.change(item)

    def change(self, item: Change) -> None:
        """Note a change at this place."""
        if self._is_open:
            self.row.bars[-1].changes.append(RowChange(item, len(self.row.entries)))
        else:
            self._held.append(item)

    def ending(self, item: Ending) -> None:
        """Note that an ending begins with the bar that follows."""
        if self._is_open and self.row.bars[-1].first < len(self.row.entries):
            written = f"ending({' '.join(map(str, item.passes))})"
            self.report.add(item.span, "An ending stands after a bar sign", f"| {written}")
        elif self._is_open:
            self.row.bars[-1].ending = item
        else:
            self._held_ending = item

    def same(self, item: Same) -> None:
        """Repeat the bar before."""
        if self.sealed(item.span):
            return
        if self._is_open:
            self.report.add(item.span, "`same` stands alone in its bar, between two bar signs")
            return
        if not self.row.bars:
            self.report.add(item.span, "`same` repeats the bar before, and there is none")
            return
        pattern = self.row.bars[-1]
        for _ in range(item.times):
            if self._limit(item.span):
                return
            bar = self._begin(len(self.row.entries))
            bar.is_same = True
            bar.span = item.span
            self.copy(pattern, bar, item.span)
            self._is_open = False
        self._is_open = True

    @abstractmethod
    def copy(self, pattern: RowBar, bar: RowBar, span: Span) -> None:
        """Put the entries of an earlier bar into a new one."""

    def sealed(self, span: Span) -> bool:
        """Whether the open bar is a repeated one, in which nothing else may stand."""
        if self._is_open and self.row.bars[-1].is_same:
            self.report.add(span, "`same` fills its bar; a bar sign stands before what follows")
            return True
        return self._full

    def _limit(self, span: Span) -> bool:
        if not self._full and len(self.row.bars) >= MOST_BARS:
            self._full = True
            self.report.add(span, f"A block has at most {MOST_BARS} bars")
        return self._full

    def close(self) -> Row:
        """Finish the row."""
        row = self.row
        if self._held_ending is not None:
            self.report.add(self._held_ending.span, "No bar follows this ending", "")
        if self._held and row.bars:
            last = len(row.entries)
            row.bars[-1].changes += [RowChange(change, last) for change in self._held]
        elif self._held:
            self._begin(0)
        if not self._is_open:
            row.closing = self._sign
        return row


def stretched(first: Span | None, last: Span) -> Span:
    """Stretch a span to a later one on the same line."""
    if first is None:
        return last
    if first.line != last.line or last.end_column < first.end_column:
        return first
    return Span(first.file, first.line, first.column, last.end_column)


def place_entries(row: Row) -> None:
    """Give each entry its place in its bar, and each bar its length."""
    parts = lcm(*{entry.duration.denominator for entry in row.entries})
    # Counted in one common part, the places are few: those of one bar are those of the next.
    places: dict[int, Fraction] = {}
    for bar in row.bars:
        at = 0
        place = Fraction(0)
        for entry in row.entries[bar.first : bar.last]:
            entry.offset = place
            at += entry.duration.numerator * (parts // entry.duration.denominator)
            place = places[at] if at in places else places.setdefault(at, Fraction(at, parts))
        bar.length = place
