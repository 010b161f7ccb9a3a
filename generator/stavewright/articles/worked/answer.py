"""An answer worked out: what was asked, what is true, and what an article could say of it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Row:
    """One fact."""

    name: str
    """What it is about: `signature`, `relative`."""
    value: str


@dataclass(frozen=True, slots=True)
class Answer:
    """Everything that is said of one question."""

    question: str
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    """Reasons and advice, each in whole sentences."""
    claim: str | None = None
    """A true claim about the subject, without its backticks."""
    block: str | None = None
    """Lines of a music block that shows it, without the fence; they end with a line end."""


def rows(*facts: tuple[str, str]) -> tuple[Row, ...]:
    """Give the facts that there is something to say of, in order."""
    return tuple(Row(name, value) for name, value in facts if value)
