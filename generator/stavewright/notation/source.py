"""Where a piece of text stands in the file the author edits.

A music block may be indented, quoted or inside a list item, so its lines do not begin at column 1
of the file. A `SourceText` carries each of its lines together with the place where the line begins,
and every span made from it is in the article's own coordinates.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of one line of a file."""

    file: str
    """As the author would type it: a path relative to where the command ran, with `/`."""
    line: int
    """From 1."""
    column: int
    """From 1, in Unicode code points."""
    end_column: int
    """The column after the last character; at least `column`."""

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class SourceLine:
    """One line of a text and the place where it begins in its file."""

    text: str
    """Without its line end."""
    line: int
    """The file's line, from 1."""
    column: int
    """The file's column of `text[0]`, from 1."""

    def span(self, file: str, start: int, end: int) -> Span:
        """The stretch `text[start:end]` (offsets from 0) in the file's coordinates."""
        column = self.column
        return Span(file, self.line, column + start, column + (end if end > start else start))


@dataclass(frozen=True, slots=True)
class SourceText:
    """A text that was cut out of a file, line by line."""

    file: str
    lines: tuple[SourceLine, ...]
    fence: Span
    """What to point at when a finding concerns the whole: for a music block, its opening fence."""

    @classmethod
    def plain(cls, text: str, file: str = "block") -> "SourceText":
        """A text that is a whole file, or is treated as one."""
        lines = tuple(SourceLine(line, n, 1) for n, line in enumerate(text.split("\n"), start=1))
        first_width = len(lines[0].text)
        return cls(file, lines, Span(file, 1, 1, first_width + 1))

    @property
    def text(self) -> str:
        """The lines joined again, without their indentation in the file."""
        return "\n".join(line.text for line in self.lines)
