"""Whole articles: planted mistakes are found where they stand, and suggestions mend them."""

import pickle

import pytest

from stavewright.articles.check import check_article
from tests.articles.shown import assert_inside, pasted, read, show
from tests.articles.yaml_cases import Case, yaml_cases

CASES = yaml_cases("check.yaml")


@pytest.mark.parametrize("case", CASES)
def test_places(case: Case) -> None:
    found = check_article(read(case["text"]))
    assert [" ".join(show(finding).split()[:2]) for finding in found] == case["at"]
    assert_inside(case["text"], found)


@pytest.mark.parametrize("case", CASES)
def test_suggestions_help(case: Case) -> None:
    found = check_article(read(case["text"]))
    for finding in found:
        if finding.suggestion is not None:
            left = check_article(read(pasted(case["text"], finding)))
            assert len(left) < len(found), show(finding)


@pytest.mark.parametrize("case", CASES)
def test_articles_cross_to_other_processes(case: Case) -> None:
    article = read(case["text"])
    copy = pickle.loads(pickle.dumps(article))
    assert copy == article
    assert check_article(copy) == check_article(article)
