"""Front matter: its values, and findings at the exact field."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.articles.article import FrontMatter
from tests.articles.fuzz import FUZZ
from tests.articles.shown import assert_inside, pasted, read, show
from tests.articles.yaml_cases import Case, yaml_cases

CASES = yaml_cases("front_matter.yaml")


def plain(front: FrontMatter, name: str) -> Any:
    value = getattr(front, name)
    if name == "video":
        return [value.address, value.seconds, value.still]
    if name == "kind":
        return value.value
    return list(value) if isinstance(value, tuple) else value


@pytest.mark.parametrize("case", CASES)
def test_values_and_findings(case: Case) -> None:
    article = read(case["text"])
    assert [show(finding) for finding in article.findings] == case["findings"]
    for name, value in case.get("front", {}).items():
        assert plain(article.front, name) == value


@pytest.mark.parametrize("case", CASES)
def test_suggestions_help(case: Case) -> None:
    for finding in read(case["text"]).findings:
        if finding.suggestion is not None:
            mended = read(pasted(case["text"], finding))
            assert (finding.message, finding.span) not in [
                (left.message, left.span) for left in mended.findings
            ]


@pytest.mark.parametrize("case", CASES)
def test_line_ends_and_byte_order_marks_change_nothing(case: Case) -> None:
    plain_text = case["text"]
    expected = read(plain_text)
    for text in (plain_text.replace("\n", "\r\n"), "\ufeff" + plain_text):
        article = read(text)
        assert article.front == expected.front
        assert article.findings == expected.findings


WORDS = st.sampled_from(
    ["title", "date", "updated", "video", "address", "length", "credits", "kind", "draft", "x y"]
)
VALUES = st.text(max_size=12) | st.sampled_from(
    ["2024-05-31", "[a, b]", "{a: b}", "12:34", "|", ">", "&a", "*a", "!!int x", '"\\ud800"', "- a"]
)
ROWS = st.lists(
    st.tuples(st.sampled_from(["", " ", "  ", "- ", "\t"]), WORDS, VALUES).map(
        lambda parts: f"{parts[0]}{parts[1]}: {parts[2]}"
    )
    | st.text(max_size=12),
    max_size=6,
)


@FUZZ
@given(ROWS, st.sampled_from(["\n", "\r\n"]))
def test_any_front_matter_is_read(rows: list[str], end: str) -> None:
    text = end.join(["---", *rows, "---", "# Heading"])
    article = read(text)
    assert_inside(text, article.findings)
    article.front.title.encode()
