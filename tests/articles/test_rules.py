"""The examples of the rules about articles: wrong ones are found, right ones are not."""

import re

import pytest

from stavewright.articles.links import LinkIndex, check_links
from stavewright.articles.rules import ARTICLE_RULES
from stavewright.checking.rule import Rule
from stavewright.notation.finding import RULE_IDS, Finding
from tests.articles.shown import assert_inside, read


def findings_of(text: str) -> tuple[Finding, ...]:
    path = "glossary.md" if text.startswith("# Glossary") else "answers/page.md"
    article = read(text, path)
    return (*article.findings, *check_links(article, LinkIndex.of([article])))


@pytest.mark.parametrize("rule", ARTICLE_RULES, ids=lambda rule: rule.id)
def test_examples(rule: Rule) -> None:
    assert rule.id in RULE_IDS
    wrong = findings_of(rule.wrong)
    assert wrong
    assert {(finding.rule, finding.severity) for finding in wrong} == {(rule.id, rule.severity)}
    assert_inside(rule.wrong, wrong)
    assert findings_of(rule.right) == ()


@pytest.mark.parametrize("rule", ARTICLE_RULES, ids=lambda rule: rule.id)
def test_explanations_are_two_sentences(rule: Rule) -> None:
    assert len(re.findall(r"[.!?](?= |$)", rule.explanation)) == 2
