"""CommonMark's own examples, version 0.31.2: read with our configuration, all but a few exactly.

Source: the specification's spec.txt, see data/commonmark/NOTICE.md.
"""

import json
from typing import Any

import pytest

from stavewright.articles.markdown import parser
from stavewright.articles.render import render_body
from tests.articles.shown import assert_inside, read
from tests.articles.trees import fragment, skeleton
from tests.articles.yaml_cases import DATA
from tests.cases import rows

FOLDER = DATA / "commonmark"
EXAMPLES: list[dict[str, Any]] = json.loads((FOLDER / "examples.json").read_text(encoding="utf-8"))
EXCEPTIONS = {int(row["title"]): row["reason"] for _, row in rows(FOLDER / "exceptions.tsv")}
BY_NUMBER = [pytest.param(example, id=str(example["number"])) for example in EXAMPLES]


def test_all_examples_are_here() -> None:
    assert [example["number"] for example in EXAMPLES] == list(range(1, 653))


@pytest.mark.parametrize("example", BY_NUMBER)
def test_example(example: dict[str, Any]) -> None:
    made = parser(raw_html=True).render(example["markdown"])
    if example["number"] in EXCEPTIONS:
        assert made != example["html"], "no exception any more"
        assert skeleton(made) == skeleton(example["html"])
    else:
        assert made == example["html"]


@pytest.mark.parametrize("example", BY_NUMBER)
def test_example_as_an_article(example: dict[str, Any]) -> None:
    """Whatever the Markdown, the page is without fault and findings lie inside the text."""
    text = example["markdown"]
    article = read(text)
    assert_inside(text, article.findings)
    fragment(render_body(article, {}, {}, lambda link: link.target or "#"))
