"""Claims as they stand in a page."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.articles.typeset import typeset_claim
from stavewright.notation import parse_claim
from stavewright.notation.claim import Noun
from tests.articles.fuzz import FUZZ
from tests.articles.shown import read
from tests.articles.trees import fragment
from tests.articles.yaml_cases import DATA
from tests.cases import Case, cases


@pytest.mark.parametrize("case", cases(DATA / "claims.tsv"))
def test_claim(case: Case) -> None:
    claim = parse_claim(case["text"])
    assert claim is not None
    made = typeset_claim(claim)
    (span,) = fragment(made)
    assert span.attrib == {
        "class": f"claim claim-{claim.noun.value}",
        "role": "img",
        "aria-label": case["spoken"],
    }
    assert made.partition(">")[2].removesuffix("</span>") == case["markup"]


def test_what_cannot_be_read_stays() -> None:
    claim = parse_claim("chord: H7 = <b>")
    assert claim is not None
    assert typeset_claim(claim) == '<code class="claim claim-chord">chord: H7 = &lt;b&gt;</code>'


SIDES = st.sampled_from(
    ["F#m7b5/A", "C4", "Bb(-50)", "D dorian", "V65/V in F", "3 x 1/8", "F4 to D#5", "no sharps", ""]
) | st.text(max_size=12)


@FUZZ
@given(st.sampled_from(Noun), SIDES, st.sampled_from(["", "=", "≠", "!=", "~="]), SIDES)
def test_any_claim_can_be_set(noun: Noun, subject: str, sign: str, statement: str) -> None:
    claim = parse_claim(f"{noun.value}: {subject} {sign} {statement}".replace("`", "'"))
    if claim is not None:
        text = typeset_claim(claim)
        if text.isprintable():
            fragment(text)


def test_claims_of_an_article_are_marked_in_order() -> None:
    article = read("`chord: F7` and `x` and `key: nothing` and `key: C = no\nsharps`.\n")
    assert [claim.text for claim in article.claims] == ["chord: F7", "key: C = no sharps"]
    assert [(c.span.line, c.span.column, c.span.end_column) for c in article.claims] == [
        (1, 2, 11),
        (1, 45, 56),
    ]
