"""All of YAML that we take, by way of PyYAML's events, and words for what is no YAML.

Anchors and aliases are refused: no file of ours needs them, and a few lines of them can stand for a
billion nodes.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from typing import Protocol, Self

import yaml

from stavewright.articles.yaml_nodes import (
    YamlList,
    YamlMap,
    YamlNode,
    YamlReadError,
    YamlText,
    quoted,
)
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import SourceLine, SourceText, Span

MAX_DEPTH = 12
"""Far more nesting than any of our files uses, far less than Python's stack bears."""

_ENTRY = re.compile(r"\s*(?:- +)?(?:[\w-]+: +)?(?P<value>[^\s\"'].*\S)\s*$")
"""A line whose value would do if it stood in quotes."""
_NO_SPACE = re.compile(r"(?P<name>[A-Za-z][\w-]*):(?P<value>[^\s/:].*\S|[^\s/:])\s*$")
_UNCLOSED = re.compile("unexpected end of stream|expected ',' or")
_BAD_START = re.compile(r"character '[@`%*&|>]' that cannot start any token")


class _Mark(Protocol):
    """A place as either of PyYAML's readers gives it."""

    @property
    def index(self) -> int:
        """In characters from the beginning."""
        ...


@dataclass(frozen=True, slots=True)
class _Placed:
    """A text that is asked again and again where a character of it stands."""

    file: str
    lines: tuple[SourceLine, ...]
    fence: Span
    starts: tuple[int, ...]
    """Where each line begins in the joined text."""

    @classmethod
    def of(cls, text: SourceText) -> Self:
        """The text with the beginnings of its lines."""
        widths = (len(line.text) + 1 for line in text.lines[:-1])
        return cls(text.file, text.lines, text.fence, tuple(accumulate(widths, initial=0)))


def read_whole(text: SourceText) -> YamlMap:
    """See `yaml_read.read_yaml`, which asks for this where a text is not written as most are."""
    source = _Placed.of(text)
    try:
        events = list(_wanted(source, yaml.parse(text.text, Loader=yaml.SafeLoader)))
    except yaml.MarkedYAMLError as error:
        raise YamlReadError(_syntax_fault(source, error)) from None
    except yaml.reader.ReaderError as error:
        raise YamlReadError(_unreadable_character(source, error)) from None
    except (ValueError, OverflowError):
        # PyYAML passes the number of an escape such as "\\UFFFFFFFF" to `chr` as it stands.
        words = "an escape such as `\\UFFFFFFFF` that names no character"
        raise YamlReadError(_fault(source.fence, words)) from None
    if not events:
        return YamlMap((), source.fence)
    rest = iter(events)
    node = _node(source, next(rest), rest)
    if not isinstance(node, YamlMap):
        raise YamlReadError(_not_fields(source, node.span))
    return node


def _wanted(source: _Placed, events: Iterator[yaml.Event]) -> Iterator[yaml.Event]:
    """The values and collections of the one document there may be."""
    depth = 0
    documents = 0
    for event in events:
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None) is not None:
            span = _at(source, event.start_mark)
            raise YamlReadError(_fault(span, "anchors (`&`) and aliases (`*`) are not used here"))
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        elif isinstance(event, yaml.DocumentStartEvent):
            documents += 1
        if depth > MAX_DEPTH or documents > 1:
            span = _at(source, event.start_mark)
            second = "a second `---` inside the text; take it away"
            words = "too deeply nested" if depth > MAX_DEPTH else second
            raise YamlReadError(_fault(span, words))
        if isinstance(event, yaml.NodeEvent | yaml.CollectionEndEvent):
            yield event


def _node(source: _Placed, first: yaml.Event, rest: Iterator[yaml.Event]) -> YamlNode:
    """The value that begins with one event; what belongs to it is taken from the others."""
    if isinstance(first, yaml.ScalarEvent):
        span = _between(source, first.start_mark, first.end_mark)
        return YamlText(first.value, span, quoted=first.style is not None)
    is_list = isinstance(first, yaml.SequenceStartEvent)
    nodes: list[YamlNode] = []
    for event in rest:
        if isinstance(event, yaml.CollectionEndEvent):
            break
        nodes.append(_node(source, event, rest))
        is_name = not is_list and len(nodes) % 2 == 1
        if is_name and not isinstance(nodes[-1], YamlText):
            words = "a name is a single word before the `:`"
            raise YamlReadError(_fault(nodes[-1].span, words))
    span = _between(source, first.start_mark, event.end_mark)  # `event` closes the collection
    if is_list:
        return YamlList(tuple(nodes), span)
    names = (node for node in nodes[::2] if isinstance(node, YamlText))
    return YamlMap(tuple(zip(names, nodes[1::2], strict=True)), span)


def _at(source: _Placed, mark: _Mark | None) -> Span:
    """One character, kept inside the text: YAML reports an unexpected end one line too far."""
    if mark is None:
        return source.fence
    row, column = _place(source, mark.index)
    return _stretch(source, row, column, column + 1)


def _place(source: _Placed, index: int) -> tuple[int, int]:
    """Row and column by index: YAML also counts lines at U+0085, U+2028 and U+2029."""
    row = bisect_right(source.starts, index) - 1
    return row, index - source.starts[row]


def _between(source: _Placed, start: _Mark | None, end: _Mark | None) -> Span:
    """A value that runs over several lines is shown by its first."""
    if start is None or end is None:
        return source.fence
    row, column = _place(source, start.index)
    return _stretch(source, row, column, column + end.index - start.index)


def _stretch(source: _Placed, row: int, start: int, stop: int) -> Span:
    if row >= len(source.lines):
        row = len(source.lines) - 1
        start = len(source.lines[row].text)
    line = source.lines[row]
    width = len(line.text.rstrip())
    return line.span(source.file, min(start, width), min(stop, width))


def _unreadable_character(source: _Placed, error: yaml.reader.ReaderError) -> Finding:
    row, column = _place(source, error.position)
    code = error.character if isinstance(error.character, int) else ord(error.character[0])
    words = f"the control character U+{code:04X} cannot stand here"
    return _fault(_stretch(source, row, column, column + 1), words)


def _not_fields(source: _Placed, span: Span) -> Finding:
    line = next((line for line in source.lines if line.line == span.line), None)
    match = _NO_SPACE.match(line.text) if line else None
    if line is None or match is None:
        return _fault(span, "expected lines of the form `name: value`")
    place = line.span(source.file, *match.span())
    return _fault(place, "a space belongs after the `:`", f"{match['name']}: {match['value']}")


def _syntax_fault(source: _Placed, error: yaml.MarkedYAMLError) -> Finding:
    problem = error.problem or ""
    # What is opened and never closed is seen at its opening, and noticed a good deal later.
    opening = error.context_mark if _UNCLOSED.search(problem) else None
    span = _at(source, opening or error.problem_mark or error.context_mark)
    if "mapping values are not allowed" in problem or _BAD_START.search(problem):
        line = next(line for line in source.lines if line.line == span.line)
        match = _ENTRY.match(line.text)
        if match is not None:
            value = line.span(source.file, match.start("value"), match.end("value"))
            return _fault(value, _in_words(error), quoted(match["value"]))
    return _fault(span, _in_words(error))


def _in_words(error: yaml.MarkedYAMLError) -> str:
    problem = error.problem or ""
    if "mapping values are not allowed" in problem:
        return "a second `:` in this line; put the value in quotes if the `:` belongs to it"
    if "could not find expected ':'" in problem:
        return "a line without `name:`; continue a long value by indenting it"
    if "cannot start any token" in problem:
        return "a character that needs quotes around its value, or a tab where spaces belong"
    if _UNCLOSED.search(problem):
        return "a quote or bracket that is opened and not closed"
    return f"this cannot be read as YAML: {problem or 'unknown fault'}"


def _fault(span: Span, words: str, suggestion: str | None = None) -> Finding:
    return Finding(
        "front-matter",
        Severity.ERROR,
        span,
        f"{words[0].upper()}{words[1:]}",
        suggestion=suggestion,
        reason="Fields are written in YAML: one `name: value` a line.",
    )
