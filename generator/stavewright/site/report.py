"""Findings as people and programs read them.

As text, a finding is a few lines: where and what kind, the author's own line with the fault marked
under it, then what is wrong, what would be right and why. As JSON it is what design documents and
other programs rely on: no name in it changes.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from unicodedata import category, combining, east_asian_width

from stavewright.notation.finding import Finding, Severity

_COLOURS = {Severity.ERROR: "31", Severity.WARNING: "33", Severity.ADVICE: "36"}
_WIDEST = 102
"""Columns that a marked source line may take, where nobody says how many there are."""
_NARROWEST = 24
"""Less shows nothing of the line; a terminal as narrow as this must break it."""
_AROUND = 6
"""Columns of the indent and of the two signs that say a line is cut."""


MOST_OF_A_FILE = 50
"""Findings of one file that are printed unasked: more are seldom read, and often have one cause."""


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

    @cache
    def lines(file: str) -> list[str]:
        return texts[file].split("\n") if file in texts else []

    def line_of(file: str, line: int) -> str | None:
        found = lines(file)
        return found[line - 1] if 0 < line <= len(found) else None

    return line_of


@dataclass(frozen=True, slots=True)
class FindingParts:
    """A finding as it is shown, part by part; nothing in it can command a terminal."""

    head: str
    """Where it is, of what kind, by which rule."""
    quote: tuple[str, str] | None
    """The author's line and the marker under it; None where the line cannot be had."""
    words: tuple[str, ...]
    """What is wrong, what would be right and why, by lines."""


def finding_parts(finding: Finding, line_of: LineOf, width: int = _WIDEST) -> FindingParts:
    """The parts of one finding; the author's line is cut to `width` columns."""
    span = finding.span
    source = line_of(span.file, span.line)
    words = [_printable(finding.message)]
    if finding.suggestion is not None:
        words += _labelled("Try", finding.suggestion)
    if finding.reason:
        words += _labelled("Why", finding.reason)
    return FindingParts(
        head=f"{_printable(str(span))} {finding.severity.value} {finding.rule}",
        quote=None if source is None else marked_line(source, span.column, span.end_column, width),
        words=tuple(words),
    )


def finding_text(
    finding: Finding, line_of: LineOf, *, colour: bool = False, width: int = _WIDEST
) -> str:
    """One finding, several lines, no line end after the last.

    The author's line is cut to `width` columns, so that the marker stays under the fault.
    """
    parts = finding_parts(finding, line_of, width)
    lines = [_paint(parts.head, f"1;{_COLOURS[finding.severity]}", colour)]
    if parts.quote is not None:
        shown, marker = parts.quote
        lines += [f"    {shown}", f"    {_paint(marker, _COLOURS[finding.severity], colour)}"]
    return "\n".join([*lines, *(f"  {line}" for line in parts.words)])


def findings_text(
    findings: Sequence[Finding],
    line_of: LineOf,
    *,
    colour: bool = False,
    width: int = _WIDEST,
    most: int | None = None,
) -> str:
    """All findings, or the first `most` of each file and how many more there are.

    A blank line stands between two. Findings of one file must follow one another.
    """
    texts: list[str] = []
    for file, group in groupby(findings, key=lambda finding: finding.span.file):
        here = list(group)
        shown = here[:most]
        texts += [finding_text(each, line_of, colour=colour, width=width) for each in shown]
        if left := len(here) - len(shown):
            more = f"{_printable(file)}: {counted(left, 'more finding')}"
            texts.append(f"{more}; `stavewright check --all` shows every one")
    return "\n\n".join(texts)


def marked_line(source: str, column: int, end_column: int, width: int = _WIDEST) -> tuple[str, str]:
    """A source line as it can be shown, and the marker that stands under columns of it.

    Columns count from 1; a fault of no width is marked by one sign. A line that is longer than
    `width` columns and an indent allow is cut on both sides of the fault.
    """
    room = max(min(width, _WIDEST), _NARROWEST) - _AROUND
    start = min(max(column - 1, 0), len(source))
    stop = max(start + 1, min(end_column - 1, len(source)))
    # A quarter of what is shown stands before the fault, where there is enough behind it.
    left = max(0, min(start - room // 4, len(source) - room))
    right = left + room
    before, fault = _printable(source[left:start]), _printable(source[start : min(stop, right)])
    shown = before + fault + _printable(source[min(stop, right) : right])
    opening = "…" if left else ""
    closing = "…" if len(source) > right else ""
    marker = " " * (len(opening) + _cells(before)) + "^" * max(1, _cells(fault))
    return f"{opening}{shown}{closing}".rstrip(), marker


def whole_marked_line(source: str, column: int, end_column: int) -> tuple[str, str]:
    """As `marked_line`, but the line is never cut."""
    start = min(max(column - 1, 0), len(source))
    stop = max(start + 1, min(end_column - 1, len(source)))
    marker = " " * _cells(_printable(source[:start])) + "^" * max(
        1, _cells(_printable(source[start:stop]))
    )
    return _printable(source).rstrip(), marker


def summary_text(findings: Sequence[Finding], checked: Checked) -> str:
    """One line that counts what was looked at and what was found."""
    looked = ", ".join(
        [
            counted(checked.articles, "article"),
            counted(checked.blocks, "music block"),
            counted(checked.claims, "claim"),
        ]
    )
    return f"Checked {looked}: {found_words(findings)}."


def found_words(findings: Sequence[Finding]) -> str:
    """How many findings of each severity there are, "2 errors, 1 warning"."""
    found = [
        counted(number, severity.value, countable=severity is not Severity.ADVICE)
        for severity in Severity
        if (number := sum(finding.severity is severity for finding in findings))
    ]
    return ", ".join(found) if found else "nothing found"


def findings_json(
    findings: Sequence[Finding], checked: Checked, problems: Sequence[str] = ()
) -> str:
    """The findings, the counts and why some paths could not be checked, as one JSON text."""
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
        # Only where something could not be checked at all: others rely on the two keys above.
        **({"problems": list(problems)} if problems else {}),
    }
    return json.dumps(document, ensure_ascii=False, indent=2)


def _labelled(label: str, text: str) -> list[str]:
    """A text under its label; a suggestion may be several lines, which stay lines."""
    first, *rest = [_printable(line) for line in text.split("\n")]
    return [f"{label}: {first}", *(f"     {line}" for line in rest)]


def counted(number: int, noun: str, *, countable: bool = True) -> str:
    """A number and its noun, "1 page", "2 pages"; advice has no plural."""
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
