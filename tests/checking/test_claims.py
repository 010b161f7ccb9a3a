"""Claims in prose: true ones pass, false ones are found at their word and can be mended."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from stavewright.checking.claims import check_claim
from stavewright.notation.claims import parse_claim
from tests.cases import Case, cases

if TYPE_CHECKING:
    from stavewright.notation.finding import Finding

DATA = Path(__file__).parent / "data"


def findings(text: str) -> tuple[Finding, ...]:
    claim = parse_claim(text)
    assert claim is not None, f"not read as a claim: {text}"
    return check_claim(claim)


@pytest.mark.parametrize("case", cases(DATA / "claims.tsv"))
def test_claim(case: Case) -> None:
    found = findings(case["claim"])
    if not case["wrong"]:
        assert found == ()
        return
    (finding,) = found
    start, end = finding.span.column - 1, finding.span.end_column - 1
    assert finding.rule == "claim"
    assert (case["claim"][start:end], finding.suggestion) == (case["wrong"], case["right"])
    mended = case["claim"][:start] + case["right"] + case["claim"][end:]
    assert findings(mended) == ()


@pytest.mark.parametrize("case", cases(DATA / "claim_messages.tsv"))
def test_message(case: Case) -> None:
    assert [finding.message for finding in findings(case["claim"])] == [case["message"]]
