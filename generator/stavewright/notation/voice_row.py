"""Builds the row of a voice: values, groups in a ratio, slurs, grace notes."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from stavewright.notation.limits import DEEPEST_NESTING, MOST_EVENTS
from stavewright.notation.report import Report
from stavewright.notation.row import Entry, Row, RowBar, RowBuilder, place_entries, stretched
from stavewright.notation.score import Grace, Silence, Slur, Tuplet
from stavewright.notation.source import Span
from stavewright.notation.values import show_value
from stavewright.notation.written import (
    Barline,
    Close,
    Dynamic,
    Group,
    Item,
    LineStart,
    Open,
    Same,
    Sound,
    Split,
    Symbol,
    Value,
)

_NO_TIME: Final = Fraction(0)
_GRACE_VALUE: Final = Fraction(1, 8)
"""Of grace notes that state none: the usual small eighth."""


@dataclass(slots=True)
class _Frame:
    """A group that is open."""

    opened: Open
    first: int
    """Index of the entry it begins with."""
    value: Fraction | None
    """The value to restore."""
    stated: Value | None
    graces: list[Grace] = field(default_factory=list)
    is_empty: bool = True
    """Whether nothing stands in a grace group, readable or not."""


def build_voice(items: Sequence[Item], report: Report, *, measured: bool, default: Fraction) -> Row:
    """Build the row of a voice.

    Without `measured` (the block has no metre) a voice without any value is bare note heads.
    `default` is the value assumed where none is stated, so that one slip is one finding.
    """
    first = _first_value(items)
    builder = _VoiceBuilder(report, items, first or default)
    builder.row.bare = first is None and not measured
    for index, item in enumerate(items):
        builder.index = index
        builder.add(item)
    return builder.finish()


def _first_value(items: Sequence[Item]) -> Fraction | None:
    """The first value that is stated outside grace notes."""
    depth: list[bool] = []
    for item in items:
        if isinstance(item, Open):
            depth.append(item.group is Group.GRACE)
        elif isinstance(item, Close) and depth:
            depth.pop()
        elif isinstance(item, Value) and item.value and not any(depth):
            return item.value
    return None


class _VoiceBuilder(RowBuilder):
    """Keeps the value in force and the groups that are open."""

    def __init__(self, report: Report, items: Sequence[Item], default: Fraction) -> None:
        super().__init__(report)
        self.items = items
        self.index = 0
        self._last_value = default
        self._value: Fraction | None = None
        self._stated: Value | None = None
        self._ratio = Fraction(1)
        self._frames: list[_Frame] = []
        self._graces: list[Grace] = []
        self._dynamic: Dynamic | None = None
        self._closed_early = 0
        """Groups that a bar sign closed though their `)` is still to come."""

    def add(self, item: Item) -> None:
        """Take the next item."""
        match item:
            case Sound():
                self._sound(item)
            case Value():
                self._value, self._stated = item.value or self._value or self._last_value, item
            case Open():
                self._open(item)
            case Close() | Split():
                self._shut(item)
            case Dynamic():
                self._say_dynamic(item)
            case LineStart() | Barline():
                self._boundary(item)
            case Symbol():  # pragma: no cover - no voice reads symbols
                return
            case _:
                self.place(item)

    def _say_dynamic(self, item: Dynamic) -> None:
        if self._dynamic is not None:
            self.report.add(self._dynamic.span, "Another dynamic follows before any note", "")
        self._dynamic = item

    def _boundary(self, item: LineStart | Barline) -> None:
        if isinstance(item, Barline):
            self._close_at_bar(item)
            self.barline(item)
            return
        if not item.continues:
            self._value, self._stated = None, None
        self.line_start()

    def _sound(self, item: Sound) -> None:
        in_group = False
        for frame in self._frames:
            if frame.opened.group is Group.GRACE:
                self._grace(frame, item)
                return
            in_group |= frame.opened.group is Group.RATIO
        if self.sealed(item.span) or self._too_many(item.span):
            return
        value = self._value_for(item)
        bar = self.open_bar()
        duration = _NO_TIME if value is None else value
        if in_group:  # elsewhere the ratio is 1
            duration *= self._ratio
        self.row.entries.append(
            Entry(
                item,
                len(self.row.bars) - 1,
                duration=duration,
                value=value,
                stated=self._stated,
                in_group=in_group,
                graces=tuple(self._graces),
                dynamic=self._dynamic.text if self._dynamic else None,
            )
        )
        self._graces, self._dynamic = [], None
        bar.last = len(self.row.entries)
        bar.has_values = True
        bar.span = stretched(bar.span, item.span)

    def _value_for(self, item: Sound) -> Fraction | None:
        if self.row.bare:
            return None
        if self._value is None:
            value = self._last_value
            if self._fills(item):
                return value
            if item.readable:
                message = "The line says no note value before its first note"
                start = self.items[self.index].span
                self.report.add(start, message, f"{show_value(value)} {item.text}")
            self._value = value
        self._last_value = self._value
        return self._value

    def _fills(self, item: Sound) -> bool:
        """Whether a silence stands alone between bar signs, where a rest needs no value."""
        if item.silence is not Silence.REST or self._is_open:
            return False
        for following in self.items[self.index + 1 :]:
            if isinstance(following, Barline):
                return True
            if not isinstance(following, LineStart):
                return False
        return True

    def _too_many(self, span: Span) -> bool:
        if len(self.row.entries) < MOST_EVENTS:
            return False
        if not self._full:
            self._full = True
            self.report.add(span, f"A voice has at most {MOST_EVENTS} notes and rests")
        return True

    def _grace(self, frame: _Frame, item: Sound) -> None:
        frame.is_empty = False
        if item.silence is not None:
            if item.readable:
                self.report.add(item.span, "A grace note is a note, not a silence", "")
            return
        value = self._value or _GRACE_VALUE
        heads = tuple(replace(head, tied=False) for head in item.heads)
        if any(head.tied for head in item.heads):
            self.report.add(item.span, "A grace note takes no tie", item.text.replace("_", ""))
        if len(self._graces) + len(frame.graces) < MOST_EVENTS:
            frame.graces.append(Grace(heads, value, item.label, item.marks, item.span))

    def _open(self, item: Open) -> None:
        if len(self._frames) >= DEEPEST_NESTING:
            self.report.add(item.span, f"Groups stand at most {DEEPEST_NESTING} deep")
            item = replace(item, group=Group.UNKNOWN)
        elif any(frame.opened.group is Group.GRACE for frame in self._frames):
            self.report.add(item.span, "Among grace notes stands no other group")
            item = replace(item, group=Group.UNKNOWN)
        frame = _Frame(item, len(self.row.entries), self._value, self._stated)
        self._frames.append(frame)
        if item.group is Group.RATIO:
            self._ratio *= Fraction(item.normal, item.actual)
        elif item.group is Group.GRACE:
            self._value = None

    def _shut(self, item: Close | Split) -> None:
        if not self._frames:
            if self._closed_early:
                self._closed_early -= 1
            else:
                self.report.add(item.span, "This ) closes nothing", "")
            return
        frame = self._frames[-1]
        if isinstance(item, Split):
            self._split(frame, item)
            return
        self._frames.pop()
        self._leave(frame)

    def _split(self, frame: _Frame, item: Split) -> None:
        if frame.opened.group is not Group.SLUR:
            if frame.opened.group is not Group.UNKNOWN:
                self.report.add(item.span, "Only slurs meet in )(; a space stands after a )")
            return
        if len(self.row.entries) == frame.first:
            self.report.add(item.span, "No note stands before this )( to end one slur")
            return
        self._slur(frame.first, frame.opened.span)
        frame.first = len(self.row.entries) - 1
        frame.opened = replace(frame.opened, span=item.span)

    def _slur(self, first: int, span: Span) -> None:
        last = len(self.row.entries) - 1
        if last > first:
            self.row.slurs.append(Slur(first, last, span))
        else:
            self.report.add(span, "A slur joins two notes or more")

    def _leave(self, frame: _Frame) -> None:
        """End a group."""
        opened = frame.opened
        if opened.group is Group.SLUR:
            self._slur(frame.first, opened.span)
        elif opened.group is Group.RATIO:
            self._ratio /= Fraction(opened.normal, opened.actual)
            self._value, self._stated = frame.value, frame.stated
            last = len(self.row.entries) - 1
            if last >= frame.first:
                self.row.tuplets.append(
                    Tuplet(opened.actual, opened.normal, frame.first, last, opened.span)
                )
            else:
                self.report.add(opened.span, "The group holds no note")
        elif opened.group is Group.GRACE:
            self._value, self._stated = frame.value, frame.stated
            if frame.is_empty:
                self.report.add(opened.span, "The group holds no grace note")
            self._graces += frame.graces

    def _close_at_bar(self, item: Barline) -> None:
        """No bar sign stands inside a ratio or a grace group: close those that are open."""
        inner = [f for f in self._frames if f.opened.group in (Group.RATIO, Group.GRACE)]
        if not inner:
            return
        if self._closes_later():
            self.report.add(item.span, "No bar sign stands inside a group; close it and begin anew")
        else:
            message = "The group is not closed before its bar ends"
            self.report.add(item.span, message, f"{')' * len(inner)} {item.sign.value}")
        while any(frame in inner for frame in self._frames):
            frame = self._frames.pop()
            self._closed_early += self._closes_later()
            self._leave(frame)

    def _closes_later(self) -> bool:
        """Whether a `)` comes before the next group, on the same line."""
        for item in self.items[self.index + 1 :]:
            if isinstance(item, Close):
                return True
            if isinstance(item, Open) or (isinstance(item, LineStart) and not item.continues):
                return False
        return False

    def same(self, item: Same) -> None:
        """Repeat the bar before, which no group may hold but a slur."""
        groups = {frame.opened.group for frame in self._frames}
        if groups & {Group.RATIO, Group.GRACE}:
            self.report.add(item.span, "`same` stands alone in its bar, not in a group")
        else:
            RowBuilder.same(self, item)

    def copy(self, pattern: RowBar, bar: RowBar, span: Span) -> None:
        """Repeat a bar's entries, and the groups and slurs that lie within it."""
        moved = len(self.row.entries) - pattern.first
        number = len(self.row.bars) - 1
        for entry in self.row.entries[pattern.first : pattern.last]:
            if self._too_many(span):
                return
            self.row.entries.append(replace(entry, bar=number, item=replace(entry.item, span=span)))
        within = range(pattern.first, pattern.last)
        self.row.tuplets += [
            replace(each, first=each.first + moved, last=each.last + moved, span=span)
            for each in self.row.tuplets
            if each.first in within and each.last in within
        ]
        self.row.slurs += [
            replace(each, first=each.first + moved, last=each.last + moved, span=span)
            for each in self.row.slurs
            if each.first in within and each.last in within
        ]
        bar.last = len(self.row.entries)
        bar.has_values = pattern.has_values

    def finish(self) -> Row:
        """Close what is open, and sort groups: outer before inner."""
        for frame in reversed(self._frames):
            self.report.add(frame.opened.span, "This group is never closed with )")
            self._leave(frame)
        if self._graces:
            span = self._graces[0].span
            if span is not None:
                self.report.add(span, "A grace note stands before a note, and none follows")
        if self._dynamic:
            self.report.add(self._dynamic.span, "A dynamic stands before a note", "")
        row = self.close()
        place_entries(row)
        row.tuplets.reverse()  # of two over the same notes the inner one was closed first
        row.tuplets.sort(key=lambda each: (each.first, -each.last))
        row.slurs.sort(key=lambda each: (each.first, -each.last))
        return row
