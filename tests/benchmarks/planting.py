"""What a planted mistake is, and how a text is changed at one place."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stavewright.notation.source import Span


class Kind(Enum):
    """The kinds of mistake, as the table names them."""

    RESPELLED = "note respelled"
    SEMITONE = "note a half step off"
    STEP = "note a step off"
    QUALITY = "chord quality"
    CASE = "numeral case"
    INVERSION = "inversion figure"
    KEY = "key"
    BAR = "bar length"
    INTERVAL = "interval name"
    CLAIM = "claim"


@dataclass(frozen=True, slots=True)
class Place:
    """A stretch of a line."""

    line: int
    column: int
    end: int

    def meets(self, span: Span) -> bool:
        return self.line == span.line and self.column < span.end_column and span.column < self.end


@dataclass(frozen=True, slots=True)
class Mistake:
    """A text with one mistake in it."""

    kind: Kind
    source: str
    """Where the clean text comes from."""
    text: str
    original: str
    place: Place
    """The changed words, in `text`."""
    was: str
    became: str
    not_told: str | None = None
    """Why correct music may look just so; None where the mistake changes what is meant. It is
    decided from the music alone, before anything is checked."""
    labels: tuple[Place, ...] = field(default=())
    """For a note: the labels that hold over it."""


def place_of(span: Span) -> Place:
    return Place(span.line, span.column, span.end_column)


def changed(text: str, span: Span | Place, new: str) -> tuple[str, Place]:
    """The text with other words at a place, and the place of these words."""
    start, end = span.column, span.end if isinstance(span, Place) else span.end_column
    lines = text.split("\n")
    line = lines[span.line - 1]
    lines[span.line - 1] = line[: start - 1] + new + line[end - 1 :]
    return "\n".join(lines), Place(span.line, start, start + len(new))


def words_at(text: str, span: Span) -> str:
    """What stands at a place."""
    return text.split("\n")[span.line - 1][span.column - 1 : span.end_column - 1]
