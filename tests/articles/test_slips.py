"""Markdown that an author meant and did not write."""

import pytest

from tests.articles.shown import assert_inside, pasted, show
from tests.articles.test_links import findings_of
from tests.articles.yaml_cases import Case, yaml_cases

CASES = yaml_cases("slips.yaml")


@pytest.mark.parametrize("case", CASES)
def test_findings(case: Case) -> None:
    found = findings_of(case["text"])
    assert [show(finding) for finding in found] == case["findings"]
    assert_inside(case["text"], found)


@pytest.mark.parametrize("case", CASES)
def test_suggestions_help(case: Case) -> None:
    for finding in findings_of(case["text"]):
        if finding.suggestion is not None:
            left = findings_of(pasted(case["text"], finding))
            assert finding.message not in [other.message for other in left]
