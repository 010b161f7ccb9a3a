"""YAML with exact places: the tree an author wrote, each part knowing where it stands.

Values stay text until a field says what it expects. That keeps the places exact, and it keeps the
traps of YAML 1.1 away from authors: `1:42` is not a hundred and two, `no` is not false, and a date
is read as a date only where a date belongs.
"""

from dataclasses import dataclass

from stavewright.notation.finding import Finding
from stavewright.notation.source import Span


@dataclass(frozen=True, slots=True)
class YamlText:
    """A single value."""

    text: str
    span: Span
    quoted: bool = False

    @property
    def is_null(self) -> bool:
        """Whether nothing was written (`summary:`)."""
        return not self.quoted and self.text in {"", "~", "null"}


@dataclass(frozen=True, slots=True)
class YamlList:
    """Values in order."""

    items: tuple["YamlNode", ...]
    span: Span


@dataclass(frozen=True, slots=True)
class YamlMap:
    """Named values, in the order written; a name may stand twice, which its reader reports."""

    entries: tuple[tuple[YamlText, "YamlNode"], ...]
    span: Span


YamlNode = YamlText | YamlList | YamlMap


class YamlReadError(Exception):
    """The text is not YAML, or not the part of it that we take; carries the finding."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.message)
        self.finding = finding


def quoted(text: str) -> str:
    """A text as YAML takes it whatever signs it holds."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
