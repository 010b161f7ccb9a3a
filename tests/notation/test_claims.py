"""What claims in prose say; whether they are true is tested with the checks."""

from __future__ import annotations

from pathlib import Path

import pytest

from stavewright.notation.claim import (
    Accidentals,
    Between,
    Claim,
    Frequency,
    KeyNumber,
    Names,
    NumeralIn,
    RelatedKey,
    Size,
    Values,
)
from stavewright.notation.claims import parse_claim
from stavewright.notation.source import SourceLine, SourceText, Span
from tests.cases import Case, cases

FILE = Path(__file__).parent / "claims.tsv"


@pytest.mark.parametrize("case", cases(FILE))
def test_claim(case: Case) -> None:
    claim = parse_claim(case["text"])
    if claim is None:
        assert not any(case[name] for name in ("subject", "sign", "statement", "problem"))
        return
    assert _shown(claim.subject) == case["subject"]
    assert (claim.sign.value if claim.sign else "") == case["sign"]
    assert _problem(claim) == case["problem"]
    if not case["problem"]:
        assert _shown(claim.statement) == case["statement"]
    at = claim.subject_span
    assert case["text"][at.column - 1 : at.end_column - 1] == claim.subject_text
    if claim.statement_span:
        at = claim.statement_span
        assert case["text"][at.column - 1 : at.end_column - 1] == claim.statement_text


@pytest.mark.parametrize("case", cases(FILE))
def test_suggestions_help(case: Case) -> None:
    claim = parse_claim(case["text"])
    if claim is None or claim.problem is None or claim.problem.suggestion is None:
        return
    start, end = claim.problem.span.column - 1, claim.problem.span.end_column - 1
    mended = parse_claim(case["text"][:start] + claim.problem.suggestion + case["text"][end:])
    assert mended is not None
    assert mended.problem is None or mended.problem.message != claim.problem.message


def _problem(claim: Claim) -> str:
    if claim.problem is None:
        return ""
    span = claim.problem.span
    shown = f"{span.column}-{span.end_column}: {claim.problem.message}"
    return shown if claim.problem.suggestion is None else f"{shown} => {claim.problem.suggestion}"


def _shown(value: object) -> str:  # noqa: C901 - one line a kind of value
    match value:
        case None:
            return ""
        case Names():
            return f"names {' '.join(map(str, value.names))}"
        case Accidentals():
            return f"signature {value.signature}"
        case Between():
            return f"{value.low} to {value.high}"
        case Frequency():
            return f"{value.hertz} Hz to {value.decimals}"
        case KeyNumber():
            return f"key {value.number}"
        case NumeralIn():
            return f"{value.numeral} in {value.key}"
        case RelatedKey():
            return f"{value.relation} of {value.key}"
        case Size():
            return f"{value.cents} cents"
        case Values():
            return "+".join(map(str, value.values))
        case _:
            return str(value)


def test_the_stretches_of_a_code_span_are_read_as_one() -> None:
    lines = (SourceLine("chord: F7 = F A ", 3, 10), SourceLine("C Eb", 4, 1))
    claim = parse_claim(SourceText("a.md", lines, Span("a.md", 3, 10, 26)))
    assert claim is not None
    assert isinstance(claim.statement, Names)
    assert [str(span) for span in claim.statement.spans] == [
        "a.md:3:22",
        "a.md:3:24",
        "a.md:4:1",
        "a.md:4:3",
    ]
