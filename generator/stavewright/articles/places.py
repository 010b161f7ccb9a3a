"""Where the inline parts of Markdown stand in the file.

A block's text is its source lines without what encloses them (quote signs, list indents, heading
signs, table bars). `Places` says for each character of such a text which line and column of the
file it came from.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import repeat

from markdown_it.token import Token

from stavewright.articles.lines import Lines
from stavewright.notation.source import SourceLine, SourceText, Span

_CELLS = {"th_open", "td_open"}


@dataclass(frozen=True, slots=True)
class Places:
    """The places of a block's characters."""

    lines: Lines
    points: tuple[tuple[int, int], ...]
    """Line and column, both from 0, of each character and of the end."""

    def span(self, start: int, end: int) -> Span:
        """The stretch `[start:end]` of the block's text, as far as it runs on its first line."""
        last = len(self.points) - 1
        row, column = self.points[min(start, last)]
        reached = column
        for at in range(start, min(end, last)):
            if self.points[at][0] != row:
                break
            reached = self.points[at][1] + 1
        return self.lines.span(row, column, min(reached, len(self.lines.texts[row])))

    def source(self, text: str, start: int) -> SourceText:
        """A part of the block's text, from `start`, that can be read on with exact places.

        It is cut where the file does not go on with the next column: at line ends, and behind the
        backslash of an escaped bar in a table.
        """
        pieces: list[SourceLine] = []
        begun = 0
        last = len(self.points) - 1
        for at in range(1, len(text) + 1):
            row, column = self.points[min(start + at - 1, last)]
            goes_on = at < len(text) and self.points[min(start + at, last)] == (row, column + 1)
            if not goes_on:
                row, column = self.points[min(start + begun, last)]
                pieces.append(SourceLine(text[begun:at], row + 1, column + 1))
                begun = at
        whole = self.span(start, start + len(text))
        return SourceText(self.lines.file, tuple(pieces) or (_empty(whole),), whole)


def _empty(span: Span) -> SourceLine:
    return SourceLine("", span.line, span.column)


def code_source(token: Token, places: Places) -> SourceText:
    """The text of a code span, without its backticks, with exact places."""
    start, end = token.meta["start"], token.meta["end"]
    inner = end - start - 2 * len(token.markup)
    # CommonMark drops one space inside each end of a span that has both.
    dropped = (inner - len(token.content)) // 2
    return places.source(token.content, start + len(token.markup) + dropped)


def inline_places(lines: Lines, tokens: Sequence[Token]) -> Iterator[tuple[Token, Places]]:
    """Each inline token of an article with the places of its text."""
    cells: Iterator[list[int]] = iter(())
    row = 0
    for before, token in zip((None, *tokens), tokens, strict=False):
        if token.type == "tr_open" and token.map:
            row = token.map[0]
            cells = iter(_row_cells(lines.texts[row], token.meta.get("offset", 0)))
        elif token.type == "inline" and before is not None and before.type in _CELLS:
            points = _cell_points(lines.texts[row], next(cells, []), token.content)
            yield token, Places(lines, tuple((row, column) for column in points))
        elif token.type == "inline" and token.map:
            text = token.meta.get("written", token.content)
            yield token, Places(lines, _block_points(lines, token.map[0], text))


def _block_points(lines: Lines, first: int, text: str) -> tuple[tuple[int, int], ...]:
    """Each line of a block's text is the end of a source line, but for white space.

    A heading may have closing signs behind it, so the last occurrence is looked for. A line end,
    which code spans read as a space, stands at the last character before it, so that no span of it
    reaches out of the line.
    """
    points: list[tuple[int, int]] = []
    parts = text.split("\n")
    # The parser drops lines of nothing but no-break spaces from the beginning of a block.
    opening = parts[0].strip()
    while first < len(lines.texts) - 1 and opening not in lines.texts[first]:
        first += 1
    for index, part in enumerate(parts):
        row = min(first + index, len(lines.texts) - 1)
        core = part.strip()
        begins = max(lines.texts[row].rfind(core), 0) - (len(part) - len(part.lstrip()))
        ends = begins + len(part)
        # White space at the beginning may have none of its own in the file; column 0 stands for it.
        points += [(row, 0)] * -begins if begins < 0 else ()
        points += zip(repeat(row), range(max(begins, 0), ends))
        is_last = index == len(parts) - 1
        points.append((row, max(ends - (not is_last), 0)))
    return tuple(points)


def _row_cells(text: str, offset: int) -> list[list[int]]:
    """The columns of the characters of each cell of a table row, cut as the parser cuts it.

    A backslash before a bar is no part of the cell's text (GFM 0.29, section 4.10).
    """
    cells: list[list[int]] = [[]]
    for at in range(offset, len(text)):
        if text[at] != "|":
            cells[-1].append(at)
        elif at > offset and text[at - 1] == "\\":
            cells[-1][-1] = at
        else:
            cells.append([])
    return cells[1:] if text[offset:].startswith("|") else cells


def _cell_points(text: str, columns: list[int], content: str) -> list[int]:
    """The columns of a cell's text, which is the cell without the white space at its ends."""
    written = "".join(text[column] for column in columns)
    start = max(written.find(content), 0)
    points = columns[start : start + len(content)]
    return [*points, points[-1] + 1 if points else len(text)]
