"""A table of chords or of a scale, as values."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TableRow:
    """One chord, or one degree of a scale."""

    cells: tuple[str, ...]
    """The first heads the row."""
    spoken: str
    """The same as a sentence."""
    ids: tuple[str, ...] = ()
    """What lights the row."""
    lit: str = "id"
    """`id` where the ids are of symbols, `key` where they are numbers of keys."""


@dataclass(frozen=True, slots=True)
class Table:
    """A whole table."""

    caption: str
    spoken: str
    """What it is of, in words: `chords in C major`."""
    headings: tuple[str, ...]
    rows: tuple[TableRow, ...]
