"""Slugs: words as they stand in addresses."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.articles.near import nearest
from stavewright.articles.slug import is_anchor, slugify
from tests.articles.fuzz import FUZZ
from tests.articles.yaml_cases import DATA
from tests.cases import Case, cases


@pytest.mark.parametrize("case", cases(DATA / "slugs.tsv"))
def test_slug(case: Case) -> None:
    assert slugify(case["words"]) == case["slug"]


@FUZZ
@given(st.text())
def test_any_text_makes_an_anchor_or_nothing(text: str) -> None:
    slug = slugify(text)
    assert slugify(slug) == slug
    assert not slug or is_anchor(slug)
    assert not set(slug) & set(" #?/%\"'<>&")


@FUZZ
@given(st.text(max_size=30), st.lists(st.text(max_size=12), max_size=5))
def test_nearest_is_one_of_the_known(word: str, known: list[str]) -> None:
    assert nearest(word, known) in {None, *known}
    assert nearest("Title", [*known, "title"]) in {"title", *known}
