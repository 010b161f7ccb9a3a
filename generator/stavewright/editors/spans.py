"""Places and the spans that hold them."""

from stavewright.notation.source import Span


def holds(span: Span | None, line: int, column: int) -> bool:
    """Whether a place is in a span, or just behind it, where a cursor that finished typing is."""
    return span is not None and span.line == line and span.column <= column <= span.end_column


def word_at(text: str, column: int, more: str = "-") -> tuple[int, int]:
    """The word at a column of a line, as columns from 1; the signs in `more` are part of it."""
    start = end = min(column - 1, len(text))
    while start > 0 and (text[start - 1].isalnum() or text[start - 1] in more):
        start -= 1
    while end < len(text) and (text[end].isalnum() or text[end] in more):
        end += 1
    return start + 1, end + 1
