"""The YAML that nearly every file of ours is written in, read line by line.

    title: Why G# major is not on the chart
    video: {address: "https://video.example/a1", length: "6:40"}
    credits:
      - The tune was made up for this lesson.

These are fields, groups and lists, each begun on a line of its own, and values that end on theirs.
Whatever else a text holds, right or wrong, is left to `yaml_whole`, which takes twenty times
as long. The two are held together by a law: what is read here is what would be read there.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from stavewright.articles.yaml_nodes import YamlList, YamlMap, YamlNode, YamlText
from stavewright.notation.source import SourceLine, SourceText

_DEEPEST: Final = 8
"""The last column at which a group or list may begin; keeps well within `yaml_whole.MAX_DEPTH`."""

_NAME: Final = r"[A-Za-z][A-Za-z0-9_-]{0,60}"
_QUOTED: Final = r"'[^']*'|\"[^\"\\]*\""
_FIRST: Final = r"[^ \-?:,\[\]{}#&*!|>'\"%@`]"
"""What begins a value without quotes and can be nothing else (YAML 1.1, 9.1.3; `- ?` are left)."""
_PLAIN: Final = rf"{_FIRST}(?:[^:#]|:(?=[^ ])|(?<=[^ ])#)*(?<! )"
_PAIR: Final = rf"(?P<name>{_NAME}): +(?P<value>{_QUOTED}|{_FIRST}[^,\[\]{{}}:#?]*(?<! ))"
_ANY_PAIR: Final = re.sub(r"\?P<\w+>", "?:", _PAIR)
_GROUP: Final = rf"\{{ *{_ANY_PAIR}(?: *, *{_ANY_PAIR})* *\}}"

_ROW: Final = re.compile(
    rf" *+(?P<dash>- ++)?(?:(?P<name>{_NAME}):(?: ++|$))?"
    rf"(?P<value>{_QUOTED}|{_PLAIN}|(?P<group>{_GROUP}))?(?: +#.*)? *"
)
_NOTHING: Final = re.compile(r" *(?:#.*)?")
_PAIRS: Final = re.compile(_PAIR)


class _UncommonError(Exception):
    """The text is written in another way."""


@dataclass(slots=True)
class _Row:
    """A line that says something."""

    line: SourceLine
    parts: re.Match[str]
    column: int
    """Of its first sign, from 0."""
    is_item: bool


def read_common(text: SourceText) -> YamlMap | None:
    """The mapping of a text that is written in the common way; None for any other."""
    if not all(line.text.isprintable() for line in text.lines):
        return None  # Tabs, other line ends and signs that cannot be seen have rules of their own.
    try:
        rows = list(_rows(text.lines))
        return _Reader(text.file, rows).whole() if rows else YamlMap((), text.fence)
    except _UncommonError:
        return None


def _rows(lines: tuple[SourceLine, ...]) -> Iterator[_Row]:
    for line in lines:
        parts = _ROW.fullmatch(line.text)
        if parts is not None and (parts["name"] or parts["value"]):
            column = len(line.text) - len(line.text.lstrip(" "))
            yield _Row(line, parts, column, is_item=parts["dash"] is not None)
        elif not _NOTHING.fullmatch(line.text):
            raise _UncommonError


class _Reader:
    """Goes through the rows once; each method takes those of one part of the tree."""

    def __init__(self, file: str, rows: list[_Row]) -> None:
        self._file = file
        self._rows = rows
        self._at = 0

    def whole(self) -> YamlMap:
        """The mapping that all rows make together."""
        if self._rows[0].column or self._rows[0].is_item:
            raise _UncommonError
        mapping = self._map(0)
        if self._at < len(self._rows):
            raise _UncommonError
        return mapping

    def _map(self, column: int) -> YamlMap:
        """The fields at a column; the first may stand behind the dash of an item."""
        first = self._first(column)
        entries: list[tuple[YamlText, YamlNode]] = []
        row: _Row | None = first
        while row is not None:
            self._at += 1
            name = self._part(row, "name")
            value = self._value(row) if row.parts["value"] else self._below(row, column)
            entries.append((name, value))
            row = self._next(column)
            if row is not None and row.is_item:
                raise _UncommonError
        return YamlMap(tuple(entries), first.line.span(self._file, column, _end(first)))

    def _list(self, column: int) -> YamlList:
        """The items whose dashes stand at a column."""
        first = self._first(column)
        items: list[YamlNode] = []
        row: _Row | None = first
        while row is not None and row.is_item:
            if row.parts["name"]:
                items.append(self._map(row.parts.start("name")))
            else:
                self._at += 1
                items.append(self._value(row))
            row = self._next(column)
        return YamlList(tuple(items), first.line.span(self._file, column, _end(first)))

    def _first(self, column: int) -> _Row:
        """The current row, which begins a group or list at a column."""
        if column > _DEEPEST:
            raise _UncommonError
        return self._rows[self._at]

    def _next(self, column: int) -> _Row | None:
        """The current row if it goes on at a column; None if it belongs further out."""
        if self._at == len(self._rows) or self._rows[self._at].column < column:
            return None
        if self._rows[self._at].column > column:
            raise _UncommonError
        return self._rows[self._at]

    def _below(self, row: _Row, column: int) -> YamlNode:
        """What a name without a value on its line stands for."""
        below = self._rows[self._at] if self._at < len(self._rows) else None
        if below is not None and below.is_item and below.column >= column:
            return self._list(below.column)
        if below is not None and below.column > column:
            return self._map(below.column)
        place = row.parts.end("name") + 1
        return YamlText("", row.line.span(self._file, place, place))

    def _value(self, row: _Row) -> YamlNode:
        if row.parts["group"] is None:
            return self._part(row, "value")
        start, end = row.parts.span("group")
        pairs = _PAIRS.finditer(row.line.text, start, end)
        entries = tuple(
            (self._text(row, pair, "name"), self._text(row, pair, "value")) for pair in pairs
        )
        return YamlMap(entries, row.line.span(self._file, start, end))

    def _part(self, row: _Row, part: str) -> YamlText:
        if not row.parts[part]:
            raise _UncommonError
        return self._text(row, row.parts, part)

    def _text(self, row: _Row, parts: re.Match[str], part: str) -> YamlText:
        span = row.line.span(self._file, *parts.span(part))
        written = parts[part]
        is_quoted = written[0] in "'\""
        return YamlText(written[1:-1] if is_quoted else written, span, is_quoted)


def _end(row: _Row) -> int:
    """Groups and lists run over several lines; they are shown by their first."""
    return len(row.line.text.rstrip())
