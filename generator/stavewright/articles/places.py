"""Where the inline parts of Markdown stand in the file.

A block's text is its source lines without what encloses them (quote signs, list indents, heading
signs, table bars). `Places` says for each character of such a text which line and column of the
file it came from.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Self

from markdown_it.token import Token

from stavewright.articles.lines import Lines
from stavewright.notation.source import SourceLine, SourceText, Span

_CELLS = {"th_open", "td_open"}

_Run = tuple[int, int, int]
"""A stretch of a block's text that stands side by side in the file: the offset at which it begins
in the text, and its line and column in the file, all from 0."""


@dataclass(frozen=True, slots=True)
class Places:
    """The places of a block's characters, and of its end, run by run."""

    lines: Lines
    end: int
    """How long the text is."""
    runs: tuple[_Run, ...]
    """In order, the first at offset 0; the last has the end in it."""

    @classmethod
    def of_row(cls, lines: Lines, row: int, columns: Sequence[int]) -> Self:
        """Characters of one line that stand at these columns; the last is the place of the end."""
        begun = [
            0,
            *(at for at, (one, next_) in enumerate(pairwise(columns), 1) if next_ != one + 1),
        ]
        return cls(lines, len(columns) - 1, tuple((at, row, columns[at]) for at in begun))

    def span(self, start: int, end: int) -> Span:
        """The stretch `[start:end]` of the block's text, as far as it runs on its first line."""
        start = min(start, self.end)
        offset, row, column = self.runs[self._run_of(start)]
        column = reached = column + start - offset
        for first, stop, line, begins in self._parts(start, min(end, self.end)):
            if line != row:
                break
            reached = begins + stop - first
        return self.lines.span(row, column, min(reached, len(self.lines.texts[row])))

    def source(self, text: str, start: int) -> SourceText:
        """A part of the block's text, from `start`, that can be read on with exact places.

        It is cut where the file does not go on with the next column: at line ends, and behind the
        backslash of an escaped bar in a table.
        """
        end = start + len(text)
        pieces = tuple(
            SourceLine(text[first - start : stop - start], row + 1, column + 1)
            for first, stop, row, column in self._parts(start, end)
        )
        whole = self.span(start, end)
        return SourceText(self.lines.file, pieces or (_empty(whole),), whole)

    def _run_of(self, place: int) -> int:
        """The index of the run that the character at an offset is in."""
        return bisect_right(self.runs, place, key=_offset) - 1

    def _parts(self, start: int, end: int) -> Iterator[tuple[int, int, int, int]]:
        """`[start:end]`, cut into runs: the offsets of each part, and its line and column."""
        run = self._run_of(start)
        while start < end:
            offset, row, column = self.runs[run]
            run += 1
            stop = min(end, self.runs[run][0]) if run < len(self.runs) else end
            if start < stop:  # An empty line has an empty run.
                yield start, stop, row, column + start - offset
            start = stop


def _offset(run: _Run) -> int:
    return run[0]


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
            yield token, Places.of_row(lines, row, points)
        elif token.type == "inline" and token.map:
            text = token.meta.get("written", token.content)
            yield token, Places(lines, len(text), tuple(_block_runs(lines, token.map[0], text)))


def _block_runs(lines: Lines, first: int, text: str) -> Iterator[_Run]:
    """Each line of a block's text is the end of a source line, but for white space.

    A heading may have closing signs behind it, so the last occurrence is looked for. A line end,
    which code spans read as a space, stands at the last character before it, so that no span of it
    reaches out of the line.
    """
    parts = text.split("\n")
    # The parser drops lines of nothing but no-break spaces from the beginning of a block.
    opening = parts[0].strip()
    while first < len(lines.texts) - 1 and opening not in lines.texts[first]:
        first += 1
    offset = 0
    for index, part in enumerate(parts):
        row = min(first + index, len(lines.texts) - 1)
        begins = max(lines.texts[row].rfind(part.strip()), 0) - (len(part) - len(part.lstrip()))
        # White space at the beginning may have none of its own in the file; column 0 stands for it.
        yield from ((offset + at, row, 0) for at in range(-begins))
        yield offset + max(-begins, 0), row, max(begins, 0)
        offset += len(part)
        if index < len(parts) - 1:
            yield offset, row, max(begins + len(part) - 1, 0)
            offset += 1


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
