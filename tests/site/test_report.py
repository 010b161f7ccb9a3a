"""Findings as text and as JSON."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span
from stavewright.site.report import (
    Checked,
    finding_text,
    findings_json,
    findings_text,
    lines_of,
    marked_line,
    summary_text,
)

LINES = yaml.safe_load((Path(__file__).parent / "data/marked_lines.yaml").read_text("utf-8"))
FINDING = Finding(
    "key-theoretical",
    Severity.WARNING,
    Span("content/a.md", 2, 6, 14),
    "G sharp major has eight sharps",
    suggestion="Ab major",
    reason="Players read flats more readily than a double sharp in a signature.",
)
LINE_OF = lines_of({"content/a.md": "```music\nkey: G# major\n```"})


@pytest.mark.parametrize("case", LINES, ids=lambda case: case["title"])
def test_the_marker_stands_under_the_fault(case: dict[str, Any]) -> None:
    shown, marker = marked_line(case["source"], *case["columns"])
    assert f"{shown}\n{marker}\n" == case["shown"]


@given(st.text(st.characters(exclude_characters="\n")), st.integers(1, 300), st.integers(0, 50))
def test_any_line_can_be_shown_on_one_row(source: str, column: int, width: int) -> None:
    shown, marker = marked_line(source, column, column + width)
    assert len(shown.splitlines()) <= 1
    assert len(shown) <= 98
    assert "^" in marker
    assert len(marker) <= 2 * 98 + 1


@pytest.mark.parametrize(("most", "left"), [(None, 0), (4, 0), (3, 1), (1, 3)])
def test_of_a_file_with_many_findings_only_the_first_are_printed(
    most: int | None, left: int
) -> None:
    def at(file: str, line: int) -> Finding:
        return replace(FINDING, span=Span(file, line, 1, 2))

    findings = [*(at("a.md", line) for line in range(1, 5)), at("b.md", 1)]
    text = findings_text(findings, lines_of({}), most=most)
    assert [text.count(f"a.md:{line}:") for line in range(1, 5)] == [1] * (4 - left) + [0] * left
    assert text.count("b.md:1:1") == 1
    words = f"\n\na.md: {left} more finding{'s' if left > 1 else ''}; `stavewright check --all`"
    assert (words in text) == bool(left)
    assert text.count("more finding") == bool(left)


def test_a_long_line_is_cut_round_the_fault() -> None:
    source = "a" * 200 + "FAULT" + "b" * 200
    shown, marker = marked_line(source, 201, 206)
    start = marker.index("^")
    assert shown[start : start + 5] == "FAULT"
    assert marker.strip() == "^^^^^"
    assert shown.startswith("…")
    assert shown.endswith("…")


@pytest.mark.parametrize("width", [1, 40, 80, 102, 1000])
def test_a_marked_line_fits_the_terminal_it_stands_in(width: int) -> None:
    finding = replace(FINDING, span=Span("a.md", 1, 201, 206))
    line_of = lines_of({"a.md": "a" * 200 + "FAULT" + "b" * 200})
    _, shown, marker, *_ = finding_text(finding, line_of, width=width).split("\n")
    assert len(shown) <= min(max(width, 24), 102)
    assert shown[marker.index("^") : marker.index("^") + 5] == "FAULT"


def test_a_finding_in_words() -> None:
    assert finding_text(FINDING, LINE_OF) == (
        "content/a.md:2:6 warning key-theoretical\n"
        "    key: G# major\n"
        "         ^^^^^^^^\n"
        "  G sharp major has eight sharps\n"
        "  Try: Ab major\n"
        "  Why: Players read flats more readily than a double sharp in a signature."
    )


def test_colour_adds_nothing_but_colour() -> None:
    coloured = finding_text(FINDING, LINE_OF, colour=True)
    assert "\x1b[" in coloured
    plain = coloured.replace("\x1b[0m", "").replace("\x1b[1;33m", "").replace("\x1b[33m", "")
    assert plain == finding_text(FINDING, LINE_OF)


def test_json_is_exactly_what_others_rely_on() -> None:
    assert json.loads(findings_json([FINDING], Checked(1, 2, 3))) == {
        "findings": [
            {
                "rule": "key-theoretical",
                "severity": "warning",
                "file": "content/a.md",
                "line": 2,
                "column": 6,
                "end_column": 14,
                "message": "G sharp major has eight sharps",
                "suggestion": "Ab major",
                "reason": "Players read flats more readily than a double sharp in a signature.",
            }
        ],
        "checked": {"articles": 1, "blocks": 2, "claims": 3},
    }


@pytest.mark.parametrize(
    ("findings", "said"),
    [
        ((), "Checked 1 article, 2 music blocks, 0 claims: nothing found."),
        ((FINDING,), "Checked 1 article, 2 music blocks, 0 claims: 1 warning."),
    ],
)
def test_the_summary_counts(findings: tuple[Finding, ...], said: str) -> None:
    assert summary_text(findings, Checked(1, 2, 0)) == said
