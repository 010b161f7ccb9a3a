"""What part-writing advice says, word for word."""

from __future__ import annotations

from pathlib import Path

import pytest

from stavewright.checking.check import check_block
from stavewright.notation import parse_block
from tests.cases import Case, cases
from tests.checking.block_cases import block_cases

DATA = Path(__file__).parent / "data"
BLOCKS = {case.title: case.text for case in block_cases(DATA / "blocks")}


@pytest.mark.parametrize("case", cases(DATA / "advice_words.tsv"))
def test_words(case: Case) -> None:
    findings = check_block(parse_block(BLOCKS[case["title"]]))
    assert " / ".join(finding.message for finding in findings) == case["messages"]
