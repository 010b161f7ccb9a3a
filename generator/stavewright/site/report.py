"""Findings as people and programs read them.

As text, a finding is a few lines: where and what kind, the author's own line with the fault marked
under it, then what is wrong, what would be right and why. As JSON it is what design documents and
other programs rely on: no name in it changes.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from unicodedata import category, combining, east_asian_width

from stavewright.notation.finding import Finding, Severity

_COLOURS = {Severity.ERROR: "31", Severity.WARNING: "33", Severity.ADVICE: "36"}
_MAX_MARKED = 96
"""Characters of a source line that are shown; a longer line is cut on both sides of the fault."""
_LEAD = 24
"""How much of a cut line stands before the fault, where there is enough behind it."""


@dataclass(frozen=True, slots=True)
class Checked:
    """How much was looked at."""

    articles: int
    blocks: int
    claims: int


def has_errors(findings: Sequence[Finding]) -> bool:
    """Whether anything would fail a build."""
    return any(finding.severity is Severity.ERROR for finding in findings)


LineOf = Callable[[str, int], str | None]
"""The text of a line (from 1) of a file as findings name it; None where it cannot be had."""


def lines_of(texts: Mapping[str, str]) -> LineOf:
    """Look lines up in texts by the name that findings give their file."""

    def line_of(file: str, line: int) -> str | None:
        if file not in texts:
            return None
        lines = texts[file].split("\n")
        return lines[line - 1] if 0 < line <= len(lines) else None

    return line_of


def finding_text(finding: Finding, line_of: LineOf, *, colour: bool = False) -> str:
    """One finding, several lines, no line end after the last."""
    head = f"{_printable(str(finding.span))} {finding.severity.value} {finding.rule}"
    lines = [_paint(head, f"1;{_COLOURS[finding.severity]}", colour)]
    source = line_of(finding.span.file, finding.span.line)
    if source is not None:
        shown, marker = marked_line(source, finding.span.column, finding.span.end_column)
        lines += [f"    {shown}", f"    {_paint(marker, _COLOURS[finding.severity], colour)}"]
    lines.append(f"  {_printable(finding.message)}")
    if finding.suggestion is not None:
        lines += _labelled("Try", finding.suggestion)
    if finding.reason:
        lines += _labelled("Why", finding.reason)
    return "\n".join(lines)


def findings_text(findings: Sequence[Finding], line_of: LineOf, *, colour: bool = False) -> str:
    """All findings, a blank line between two."""
    return "\n\n".join(finding_text(finding, line_of, colour=colour) for finding in findings)


def marked_line(source: str, column: int, end_column: int) -> tuple[str, str]:
    """A source line as it can be shown, and the marker that stands under columns of it.

    Columns count from 1; a fault of no width is marked by one sign.
    """
    start = min(max(column - 1, 0), len(source))
    stop = max(start + 1, min(end_column - 1, len(source)))
    left = max(0, min(start - _LEAD, len(source) - _MAX_MARKED))
    right = left + _MAX_MARKED
    before, fault = _printable(source[left:start]), _printable(source[start : min(stop, right)])
    shown = before + fault + _printable(source[min(stop, right) : right])
    opening = "…" if left else ""
    closing = "…" if len(source) > right else ""
    marker = " " * (len(opening) + _cells(before)) + "^" * max(1, _cells(fault))
    return f"{opening}{shown}{closing}".rstrip(), marker


def summary_text(findings: Sequence[Finding], checked: Checked) -> str:
    """One line that counts what was looked at and what was found."""
    looked = ", ".join(
        [
            _count(checked.articles, "article"),
            _count(checked.blocks, "music block"),
            _count(checked.claims, "claim"),
        ]
    )
    return f"Checked {looked}: {found_words(findings)}."


def found_words(findings: Sequence[Finding]) -> str:
    """How many findings of each severity there are, "2 errors, 1 warning"."""
    found = [
        _count(number, severity.value, countable=severity is not Severity.ADVICE)
        for severity in Severity
        if (number := sum(finding.severity is severity for finding in findings))
    ]
    return ", ".join(found) if found else "nothing found"


def findings_json(findings: Sequence[Finding], checked: Checked) -> str:
    """The findings and counts as one JSON text."""
    document = {
        "findings": [
            {
                "rule": finding.rule,
                "severity": finding.severity.value,
                "file": finding.span.file,
                "line": finding.span.line,
                "column": finding.span.column,
                "end_column": finding.span.end_column,
                "message": finding.message,
                "suggestion": finding.suggestion,
                "reason": finding.reason,
            }
            for finding in findings
        ],
        "checked": {
            "articles": checked.articles,
            "blocks": checked.blocks,
            "claims": checked.claims,
        },
    }
    return json.dumps(document, ensure_ascii=False, indent=2)


def _labelled(label: str, text: str) -> list[str]:
    """A text under its label; a suggestion may be several lines, which stay lines."""
    first, *rest = [_printable(line) for line in text.split("\n")]
    return [f"  {label}: {first}", *(f"       {line}" for line in rest)]


def _count(number: int, noun: str, *, countable: bool = True) -> str:
    return f"{number} {noun}{'' if number == 1 or not countable else 's'}"


def _paint(text: str, code: str, colour: bool) -> str:
    return f"\x1b[{code}m{text}\x1b[0m" if colour else text


def _printable(text: str) -> str:
    """The text with nothing in it that a terminal would obey instead of show."""
    return "".join(_shown(character) for character in text)


def _shown(character: str) -> str:
    if character == "\t":
        return " "
    # Cc: controls, escape sequences among them. Cf: such as the marks that turn text around.
    return "\N{REPLACEMENT CHARACTER}" if category(character) in {"Cc", "Cf", "Cs"} else character


def _cells(text: str) -> int:
    """How many columns of a terminal a text takes."""
    return sum(
        0 if combining(character) else 2 if east_asian_width(character) in "WF" else 1
        for character in text
    )
