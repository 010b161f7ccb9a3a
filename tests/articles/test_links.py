"""Links against a small site."""

import pytest

from stavewright.articles.article import Article
from stavewright.articles.links import LinkIndex, check_links
from stavewright.articles.paths import resolve
from stavewright.notation.finding import Finding, in_order
from tests.articles.shown import assert_inside, pasted, read, show
from tests.articles.yaml_cases import Case, yaml_cases

OTHERS = {
    "index.md": "# Home",
    "keys/minor.md": "# The minor key\n\n## Sixth and seventh",
    "glossary.md": "Raised sixth\n: One.\n\nLeading tone\n: Two.",
}
CASES = yaml_cases("links.yaml")


def index_with(article: Article) -> LinkIndex:
    others = [read(text, path) for path, text in OTHERS.items()]
    return LinkIndex.of([article, *others], ["pictures/horn.png"])


def findings_of(text: str) -> tuple[Finding, ...]:
    article = read(text, "keys/page.md")
    return in_order([*article.findings, *check_links(article, index_with(article))])


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
            assert len(left) == len(case["findings"]) - 1


def test_without_a_glossary_terms_are_not_checked() -> None:
    article = read("[x](term:)")
    assert check_links(article, LinkIndex.of([article])) == ()
    assert check_links(article, LinkIndex.of([article, read("A\n: b", "glossary.md")])) != ()


def test_in_a_whole_site_a_term_needs_a_glossary() -> None:
    article = read("[x](term:)")
    (finding,) = check_links(article, LinkIndex.of([article], whole=True))
    assert finding.message == "There is no glossary yet, so the term `x` leads nowhere"


def test_files_can_be_looked_up_as_they_are_asked_for() -> None:
    article = read("[a](a.md#x) [b](b.png)", "page.md")
    asked: list[str] = []

    def exists(path: str) -> bool:
        asked.append(path)
        return path == "a.md"

    found = check_links(article, LinkIndex.of([article], exists=exists))
    assert [finding.message for finding in found] == ["There is no file `b.png`"]
    assert asked == ["a.md", "b.png"]


def test_terms_of_the_glossary() -> None:
    glossary = read(
        "Raised *sixth*\n: One.\n\nOther\n: Two\n\nraised sixth\n: Three", "x/glossary.md"
    )
    assert [(term.name, term.slug) for term in glossary.terms] == [
        ("Raised sixth", "raised-sixth"),
        ("Other", "other"),
    ]
    assert [show(finding) for finding in glossary.findings] == [
        "7:1-13 term The term `raised sixth` is defined twice; it stands in line 1 already"
    ]
    assert read("Raised sixth\n: One.", "other.md").terms == ()


@pytest.mark.parametrize(
    ("path", "target", "found"),
    [
        ("a/b.md", "c.md", "a/c.md"),
        ("a/b.md", "./c/../d.md", "a/d.md"),
        ("a/b.md", "../../c.md", None),
        ("b.md", "..", None),
        ("b.md", "..c.md", "..c.md"),
        ("a/b.md", "C:/c.md", None),
        ("a/b.md", "c\\d.md", None),
        ("a/b.md", "/c.md", None),
        ("a/b.md", "", "a/b.md"),
    ],
)
def test_resolve(path: str, target: str, found: str | None) -> None:
    assert resolve(path, target) == found
