"""A mistake in a real article is found where it is, and the suggestion, pasted in, mends it."""

from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from stavewright.articles.links import LinkIndex
from stavewright.articles.read import read_article
from stavewright.notation.finding import Finding
from stavewright.site.check import findings_in
from stavewright.site.project import read_project
from tests.cases import Case, cases

CONTENT = Path(__file__).parents[2] / "content"
DATA = Path(__file__).parent / "data"

Look = Callable[[str, str], list[Finding]]


@pytest.fixture(scope="module")
def look() -> Look:
    """What is found in a text that stands in place of a file of the demonstration site."""
    project = read_project(CONTENT)
    articles = [article for article, _ in project.articles]
    index = LinkIndex.of(articles, files=[file.path for file in project.content.files])

    def findings(path: str, text: str) -> list[Finding]:
        return list(findings_in(read_article(path, text, path), index))

    return findings


@pytest.mark.parametrize("case", cases(DATA / "planted.tsv"))
def test_a_planted_mistake_is_found_and_its_suggestion_mends_it(case: Case, look: Look) -> None:
    path = case["file"]
    old, new = (case[name].replace("\\n", "\n") for name in ("old", "new"))
    clean = (CONTENT / path).read_text("utf-8")
    assert old in clean
    before = Counter(look(path, clean))

    planted = clean.replace(old, new, 1)
    (finding,) = (Counter(look(path, planted)) - before).elements()
    lines = planted.split("\n")
    line = lines[finding.span.line - 1]
    column, end = finding.span.column - 1, finding.span.end_column - 1
    first = clean[: clean.index(old)].count("\n") + 1
    assert finding.rule == case["rule"]
    assert first <= finding.span.line <= first + new.count("\n")
    assert line[column:end] == case["marked"]

    assert finding.suggestion is not None
    lines[finding.span.line - 1] = line[:column] + finding.suggestion + line[end:]
    left = (Counter(look(path, "\n".join(lines))) - before).elements()
    assert [other for other in left if other.rule == case["rule"]] == []
