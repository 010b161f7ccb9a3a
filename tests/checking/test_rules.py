"""Every rule: its examples do what they say, its id is known, its wording keeps the tone."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from stavewright.checking.check import check_block
from stavewright.checking.claims import check_claim
from stavewright.checking.registry import BLOCK_RULES, CLAIM_RULES, LISTENING_RULES
from stavewright.notation import parse_block
from stavewright.notation.claims import parse_claim
from stavewright.notation.finding import RULE_IDS

if TYPE_CHECKING:
    from stavewright.checking.rule import Rule

RULES = [pytest.param(rule, id=rule.id) for rule in BLOCK_RULES]
ALL_RULES = [pytest.param(rule, id=rule.id) for rule in (*BLOCK_RULES, *CLAIM_RULES)]


@pytest.mark.parametrize("rule", RULES)
def test_wrong_example_shows_this_rule_alone(rule: Rule) -> None:
    findings = check_block(parse_block(rule.wrong))
    assert findings
    assert {finding.rule for finding in findings} == {rule.id}
    assert any(finding.severity is rule.severity for finding in findings)


@pytest.mark.parametrize("rule", RULES)
def test_right_example_is_clean(rule: Rule) -> None:
    assert check_block(parse_block(rule.right)) == ()


@pytest.mark.parametrize("rule", CLAIM_RULES)
def test_claim_examples(rule: Rule) -> None:
    for text, clean in ((rule.wrong, False), (rule.right, True)):
        spans = re.findall(r"`([^`]+)`", text)
        claims = [parse_claim(span) for span in spans]
        assert claims
        assert all(claim is not None and (check_claim(claim) == ()) is clean for claim in claims)


@pytest.mark.parametrize("rule", ALL_RULES)
def test_id_is_known(rule: Rule) -> None:
    assert rule.id in RULE_IDS


@pytest.mark.parametrize("rule", ALL_RULES)
def test_explanation_is_two_sentences(rule: Rule) -> None:
    sentences = re.findall(r"[.](?:\s|$)", rule.explanation)
    assert len(sentences) == 2, rule.explanation
    assert "illegal" not in rule.explanation


def test_ids_are_told_apart() -> None:
    ids = [rule.id for rule in (*BLOCK_RULES, *CLAIM_RULES)]
    assert len(set(ids)) == len(ids)
    assert set(ids) >= LISTENING_RULES
