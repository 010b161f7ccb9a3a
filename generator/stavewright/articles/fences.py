"""Music blocks in Markdown: which fences they are, and their text with exact places."""

from collections.abc import Iterator

from markdown_it.token import Token

from stavewright.articles.lines import Lines
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import SourceLine, SourceText, Span

MUSIC = "music"
"""The info word of a fence that holds music."""


def is_music(token: Token) -> bool:
    """Whether a token is a fence whose first info word is `music`."""
    return token.type == "fence" and token.info.split(maxsplit=1)[:1] == [MUSIC]


def fence_source(lines: Lines, token: Token) -> SourceText:
    """The text of a fence, which may stand in lists and quotations, as the author's own lines."""
    first = _first_line(token)
    rows = tuple(
        _placed_line(text, lines.texts[row], row)
        for row, text in enumerate(_content_lines(token), start=first + 1)
        if row < len(lines.texts)
    )
    return SourceText(lines.file, rows, fence_span(lines, token))


def fence_span(lines: Lines, token: Token) -> Span:
    """The line that opens a fence, as far as it is the fence's own."""
    row = _first_line(token)
    text = lines.texts[row]
    start = max(text.find(token.markup + token.info.rstrip()), 0)
    return lines.span(row, start, len(text.rstrip()))


def check_fence(lines: Lines, token: Token) -> Iterator[Finding]:
    """A block that is never closed swallows the rest of the article."""
    first, end = token.map or (0, 0)
    if end - first - 1 == len(_content_lines(token)):
        yield Finding(
            "syntax",
            Severity.ERROR,
            fence_span(lines, token),
            f"The music block is not closed; a line of its own with {token.markup} ends it",
            reason="All that follows it in the article is read as music.",
        )


def _first_line(token: Token) -> int:
    return token.map[0] if token.map else 0


def _content_lines(token: Token) -> list[str]:
    texts = token.content.split("\n")
    return texts[:-1] if not texts[-1] else texts


def _placed_line(text: str, written: str, row: int) -> SourceLine:
    """A line of a fence is the end of the source line.

    Only where a tab reaches over the indent does the parser put spaces in its place; one space
    stands for all of them then, at the tab's own column, which keeps the others exact.
    """
    if written.endswith(text):
        return SourceLine(text, row + 1, len(written) - len(text) + 1)
    core = text.lstrip()
    column = len(written) - len(core) + 1
    return SourceLine(f" {core}", row + 1, max(column - 1, 1))
