"""Where the bars stand: one grid for all rows of a block.

In a measured block a bar is as long as its metre asks, so that a bar with too little or too much in
one voice moves nothing after it. Shorter are the pickup, what completes it at the end or before a
closing repeat, two part-bars round a repeat or a double bar, and the pickup of a later strain with
the bar that completes it. Without a metre a bar is as long as its longest voice.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from stavewright.notation.limits import LONGEST_VALUE, SMALLEST_VALUE
from stavewright.notation.report import Report
from stavewright.notation.row import Row, RowBar, RowChange
from stavewright.notation.score import Bar, BarSign, Silence
from stavewright.notation.sharing import share_bar
from stavewright.notation.written import Barline, Ending, MeterSign, Sound
from stavewright.theory.meter import Meter

_ENDS_ENDING: Final = (
    BarSign.REPEAT_END,
    BarSign.REPEAT_BOTH,
    BarSign.DOUBLE,
    BarSign.FINAL,
)

_PARTS_STRAINS: Final = (*_ENDS_ENDING, BarSign.REPEAT_START)
"""Signs that may stand within a bar: what is before and after them adds up to it."""


@dataclass(slots=True)
class Rows:
    """All rows that share the grid."""

    voices: list[Row] = field(default_factory=list)
    chords: Row | None = None
    numerals: Row | None = None

    @property
    def all(self) -> list[Row]:
        """Voices first, in the order of the staves."""
        return self.voices + [row for row in (self.chords, self.numerals) if row]


def lay_out(
    rows: Rows, meter: Meter | None, pickup: Fraction | None, report: Report
) -> tuple[Bar, ...]:
    """Find the grid of bars.

    On the way rests that fill their bar are marked in `rows`; symbols without values get theirs.
    """
    for row in rows.voices:
        _mark_filling(row)
    return _Grid(rows, meter, pickup, report).bars()


def _mark_filling(row: Row) -> None:
    """Find the rests that stand alone in their bar.

    Among bare note heads any other rest is a space: it has no shape without a value.
    """
    for bar in row.bars:
        for entry in row.entries[bar.first : bar.last]:
            item = entry.item
            if isinstance(item, Sound) and item.silence is Silence.REST:
                bar.fills = bar.last - bar.first == 1 and not entry.in_group
                if row.bare and not bar.fills:
                    entry.item = replace(item, silence=Silence.SPACE)


def _stretch_unread(row: Row, index: int, grid: Bar) -> None:
    """Let the one event of a bar that could not be read last as long as the bar needs.

    Its finding is then the only one: nobody is told that the bar is too short as well.
    """
    entries = row.content(index)
    unread = [
        at
        for at, entry in enumerate(entries)
        if isinstance(entry.item, Sound) and not entry.item.readable and not entry.in_group
    ]
    repeats = grid.opening is not BarSign.SINGLE or grid.closing is BarSign.REPEAT_END
    # Round a repeat the music itself says how long its part-bars are.
    if len(unread) != 1 or grid.expected is None or row.bare or repeats:
        return
    missing = grid.expected - row.bars[index].length
    lasting = entries[unread[0]].duration + missing
    if 0 < lasting <= LONGEST_VALUE and lasting.denominator <= SMALLEST_VALUE:
        entries[unread[0]].duration = entries[unread[0]].value = lasting
        entries[unread[0]].stated = None
        row.bars[index].length += missing
        for later in entries[unread[0] + 1 :]:
            later.offset += missing


class _Grid:
    """Lays bar after bar."""

    def __init__(
        self, rows: Rows, meter: Meter | None, pickup: Fraction | None, report: Report
    ) -> None:
        self.rows = rows
        self.meter = meter
        self.pickup = pickup
        self.report = report
        self.all = rows.all
        self.count = max((len(row.bars) for row in self.all), default=0)
        self.changing = [row for row in self.all if any(map(_meter_changes, row.bars))]
        """Those that may change the metre."""
        self.signs = self._all_signs()
        self.endings = self._all_endings()
        self._waiting: list[tuple[Fraction, Meter]] = []

    def bars(self) -> tuple[Bar, ...]:
        """Give all bars."""
        bars: list[Bar] = []
        start, number, second_part = Fraction(0), 0, False
        for index in range(self.count):
            self._change_meter(index, start, after_time=not bars or bars[-1].length > 0)
            length = self._part_length(index, second_part)
            is_pickup = index == 0 and self.pickup is not None
            number += not (is_pickup or second_part)
            second_part = self._is_first_part(index)
            expected = None if self.meter is None else (length or self.meter.length)
            here = expected if expected is not None else self._written(index)
            bars.append(
                Bar(
                    start,
                    here,
                    self.meter,
                    number,
                    _opening(self.signs[index]),
                    _closing(self.signs[index + 1]),
                    self.endings[index],
                    expected,
                )
            )
            self._settle(index, bars[-1])
            self._note_changes_within(index, start, here)
            start += here
        return tuple(bars)

    def _settle(self, index: int, bar: Bar) -> None:
        """Give a length to what has none of its own."""
        for row in self.rows.voices:
            _stretch_unread(row, index, bar)
        if self.rows.chords:
            share_bar(self.rows.chords, index, bar, None, self.report)
        if self.rows.numerals:
            share_bar(self.rows.numerals, index, bar, self.rows.chords, self.report)

    def _change_meter(self, index: int, start: Fraction, *, after_time: bool) -> None:
        """Take the changes of metre that stand at or before the beginning of a bar.

        `after_time` says that the bar before took time, so that this moment is its own.
        """
        for row in self._changing_in(index):
            for change in _meter_changes(row.bars[index]):
                if change.index == row.bars[index].first:
                    self._take(row, index, change, start if after_time else None)
        due = [each for each in self._waiting if each[0] <= start]
        if due:
            latest = max(at for at, _ in due)
            self.meter = next(meter for at, meter in due if at == latest)
            self._waiting = [each for each in self._waiting if each[0] > start]

    def _note_changes_within(self, index: int, start: Fraction, length: Fraction) -> None:
        for row in self._changing_in(index):
            for change in _meter_changes(row.bars[index]):
                if change.index > row.bars[index].first:
                    offset = row.offset_of(index, change.index, length)
                    self._take(row, index, change, start + offset if offset else None)

    def _changing_in(self, index: int) -> list[Row]:
        """The rows that may change the metre in a bar."""
        return [row for row in self.changing if index < len(row.bars)]

    def _take(self, row: Row, index: int, change: RowChange, at: Fraction | None) -> None:
        """Keep a change of metre for when it is due; None is no moment of its own."""
        sign = change.change
        if at is not None and isinstance(sign, MeterSign):
            self._waiting.append((at, sign.meter))
            return
        row.bars[index].changes.remove(change)
        message = "What stands before this takes no time, so no meter can begin here"
        self.report.add(sign.span, message)

    def _written(self, index: int) -> Fraction:
        """How long the longest row is in a bar; rests that fill the bar do not count."""
        bars = [row.bars[index] for row in self.rows.voices if index < len(row.bars)]
        lengths = [bar.length for bar in bars if not bar.fills]
        if not any(lengths):
            symbols = (self.rows.chords, self.rows.numerals)
            lengths = [row.bars[index].length for row in symbols if row and index < len(row.bars)]
        if not any(lengths):
            lengths = [bar.length for bar in bars]
        return max(lengths, default=Fraction(0))

    def _part_length(self, index: int, second_part: bool) -> Fraction | None:
        """The length of a bar that is rightly shorter than its metre asks; None for all others."""
        if self.meter is None:
            return None
        if index == 0 and self.pickup is not None:
            return self.pickup
        written = self._written(index)
        if written == self.meter.length:
            return None
        if second_part or self._is_first_part(index):
            return written
        closes = self.signs[index + 1] in (BarSign.REPEAT_END, BarSign.REPEAT_BOTH)
        completes = self.pickup is not None and written == self.meter.length - self.pickup
        if completes and written > 0 and (closes or index == self.count - 1):
            return written
        return written if self._is_outer_part(index) else None

    def _is_outer_part(self, index: int) -> bool:
        """Whether this bar opens a strain or ends it, and the two make up a whole bar.

        A strain after a repeat or a double bar may begin with a pickup of its own.
        """
        first = last = index
        while first > 0 and self.signs[first] not in _PARTS_STRAINS:
            first -= 1
        while last + 1 < self.count and self.signs[last + 1] not in _PARTS_STRAINS:
            last += 1
        if index not in (first, last) or first in (0, last) or self.meter is None:
            return False
        parts = self._written(first), self._written(last)
        return min(parts) > 0 and sum(parts) == self.meter.length

    def _is_first_part(self, index: int) -> bool:
        """Whether this bar and the next are two parts of one, round a repeat or a double bar."""
        if self.meter is None or index + 1 >= self.count or (index == 0 and self.pickup):
            return False
        if self.signs[index + 1] not in _PARTS_STRAINS:
            return False
        parts = self._written(index), self._written(index + 1)
        return min(parts) > 0 and sum(parts) == self.meter.length

    def _all_signs(self) -> list[BarSign]:
        """The sign at each boundary, from the one before the first bar to the last of all."""
        signs = []
        for place in range(self.count + 1):
            written = [sign for row in self.all if (sign := _sign_at(row, place))]
            signs.append(self._agreed(written))
        if self.count:
            self._check_outer(signs)
        return signs

    def _agreed(self, written: Sequence[Barline]) -> BarSign:
        special = [each for each in written if each.sign is not BarSign.SINGLE]
        if not special:
            return BarSign.SINGLE
        first = special[0]
        for other in special[1:]:
            if other.sign is not first.sign:
                self.report.add(
                    other.span,
                    f"Another line writes {first.sign.value} between these bars",
                    first.sign.value,
                )
        return first.sign

    def _check_outer(self, signs: list[BarSign]) -> None:
        if signs[0] not in (BarSign.SINGLE, BarSign.REPEAT_START):
            self._complain_at(0, "No bar stands before this sign", "")
            signs[0] = BarSign.SINGLE
        if signs[-1] is BarSign.REPEAT_START:
            self._complain_at(self.count, "A repeat begins here, and nothing follows", "|")
            signs[-1] = BarSign.SINGLE
        elif signs[-1] is BarSign.REPEAT_BOTH:
            self._complain_at(self.count, "A repeat begins here, and nothing follows", ":|")
            signs[-1] = BarSign.REPEAT_END

    def _complain_at(self, place: int, message: str, suggestion: str) -> None:
        for row in self.all:
            sign = _sign_at(row, place)
            if sign and sign.sign is not BarSign.SINGLE:
                self.report.add(sign.span, message, suggestion)

    def _all_endings(self) -> list[tuple[int, ...]]:
        """The passes of each bar: an ending lasts to the sign or the ending that ends it."""
        endings: list[tuple[int, ...]] = []
        current: tuple[int, ...] = ()
        for index in range(self.count):
            if index and self.signs[index] in _ENDS_ENDING:
                current = ()
            stated = [row.bars[index].ending for row in self.all if index < len(row.bars)]
            found = [ending for ending in stated if ending is not None]
            if found:
                current = self._agreed_ending(found)
            endings.append(current)
        return endings

    def _agreed_ending(self, found: Sequence[Ending]) -> tuple[int, ...]:
        first = found[0].passes
        for other in found[1:]:
            if other.passes != first:
                written = f"ending({' '.join(map(str, first))})"
                self.report.add(other.span, f"Another line writes {written} here", written)
        return first


def _meter_changes(bar: RowBar) -> list[RowChange]:
    return [change for change in bar.changes if isinstance(change.change, MeterSign)]


def _sign_at(row: Row, place: int) -> Barline | None:
    if place < len(row.bars):
        return row.bars[place].opening
    return row.closing if place == len(row.bars) else None


def _opening(sign: BarSign) -> BarSign:
    repeats = sign in (BarSign.REPEAT_START, BarSign.REPEAT_BOTH)
    return BarSign.REPEAT_START if repeats else BarSign.SINGLE


def _closing(sign: BarSign) -> BarSign:
    if sign is BarSign.REPEAT_BOTH:
        return BarSign.REPEAT_END
    return BarSign.SINGLE if sign is BarSign.REPEAT_START else sign
