"""Whole blocks through `check_block`: real textures pass, planted mistakes are found and mended."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from stavewright.checking.check import check_block
from stavewright.notation import parse_block
from tests.cases import Case, cases
from tests.checking.block_cases import BlockCase, block_params

if TYPE_CHECKING:
    from stavewright.notation.finding import Finding

DATA = Path(__file__).parent / "data"
BLOCKS = DATA / "blocks"


def found_in(text: str) -> tuple[Finding, ...]:
    return check_block(parse_block(text))


def shown(finding: Finding) -> str:
    span = finding.span
    place = f"{span.line}:{span.column}-{span.end_column}"
    tail = "" if finding.suggestion is None else f" | {finding.suggestion}"
    return f"{finding.rule} {finding.severity.value} {place}{tail}"


def pasted(text: str, finding: Finding) -> str:
    """The text with the suggestion in the place that the finding marks."""
    lines = text.split("\n")
    span = finding.span
    line = lines[span.line - 1]
    assert finding.suggestion is not None
    lines[span.line - 1] = (
        line[: span.column - 1] + finding.suggestion + line[span.end_column - 1 :]
    )
    return "\n".join(lines)


@pytest.mark.parametrize("case", block_params(BLOCKS))
def test_block(case: BlockCase) -> None:
    findings = found_in(case.text)
    assert [shown(finding) for finding in findings] == list(case.expected), [
        finding.message for finding in findings
    ]


@pytest.mark.parametrize("case", block_params(BLOCKS))
def test_pasted_suggestion_mends(case: BlockCase) -> None:
    for finding in found_in(case.text):
        if finding.suggestion is None:
            continue
        left = found_in(pasted(case.text, finding))
        there = [f for f in left if (f.rule, f.span.line) == (finding.rule, finding.span.line)]
        assert finding.span.column not in [f.span.column for f in there], finding.message


@pytest.mark.parametrize("case", cases(DATA / "block_messages.tsv"))
def test_message(case: Case) -> None:
    assert found_in(case["block"].replace("\\n", "\n"))[0].message == case["message"]
