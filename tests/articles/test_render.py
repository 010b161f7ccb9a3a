"""The HTML of a body."""

import re

import pytest

from stavewright.articles.article import Link
from stavewright.articles.links import anchors_of
from stavewright.articles.render import BodyWords, render_body
from tests.articles.shown import read
from tests.articles.trees import fragment
from tests.articles.yaml_cases import Case, yaml_cases


def href(link: Link) -> str:
    return f"/{link.kind.name}:{link.target}" + (f"#{link.anchor}" if link.anchor else "")


@pytest.mark.parametrize("case", yaml_cases("render.yaml"))
def test_markup(case: Case) -> None:
    article = read(case["text"])
    made = render_body(article, case.get("figures", {}), case.get("claims", {}), href)
    assert made.strip() == case["html"].strip()
    root = fragment(made)
    for node in root.iter():
        assert not {"style", "onclick"} & set(node.attrib)
    ids = [node.attrib["id"] for node in root.iter() if "id" in node.attrib]
    assert len(ids) == len(set(ids))
    # Every link within the page leads to something in it.
    here = [node.attrib["href"][1:] for node in root.iter("a") if node.attrib["href"][:1] == "#"]
    assert set(here) <= set(ids)


def test_terms_of_the_glossary_have_anchors() -> None:
    glossary = read("Raised *sixth*\n: One.\n", "glossary.md")
    assert '<dt id="raised-sixth">Raised <em>sixth</em></dt>' in render_body(glossary, {}, {}, href)
    assert anchors_of(glossary) == {"raised-sixth"}


def test_other_words() -> None:
    words = BodyWords(section_link="Zum Abschnitt {heading}", footnote="Fußnote {number}")
    made = render_body(read("# Quinte[^1]\n\n[^1]: x"), {}, {}, href, words)
    assert 'aria-label="Zum Abschnitt Quinte"' in made
    assert 'aria-label="Fußnote 1"' in made


def test_headings_keep_their_anchors() -> None:
    """A thousand headings, most alike: unique, quick, and unmoved by what comes after."""
    text = "\n\n".join(f"## {'Twin' if i % 3 else f'Only {i}'}" for i in range(1000))
    anchors = [heading.anchor for heading in read(text).headings]
    assert len(set(anchors)) == 1000
    longer = [heading.anchor for heading in read(text + "\n\n# More\n\n# Twin").headings]
    assert longer[:1000] == anchors
    made = render_body(read(text), {}, {}, href)
    assert re.findall(r'<h2 id="([^"]+)"', made) == anchors


def test_explicit_anchors_come_first() -> None:
    article = read("# A\n\n# A\n\n# A {#a-2}\n\n# B {#a}\n\n# A-2\n\n# ♯\n\n# ?!")
    assert [heading.anchor for heading in article.headings] == [
        "a-3",
        "a-4",
        "a-2",
        "a",
        "a-2-2",
        "sharp",
        "section",
    ]


def test_deep_nesting() -> None:
    text = "> " * 500 + "- " * 500 + "deep\n\n" + "[" * 3000 + "\n\n" + "*a " * 3000
    fragment(render_body(read(text), {}, {}, href))


def test_a_note_follows_its_link_and_elements_say_their_line() -> None:
    article = read("# Title\n\nSee [this](a.md) and\n\n- ![that](b.png)\n")
    notes = {0: "<b>no</b>", 1: "<b>none</b>"}
    made = render_body(article, {}, {}, href, notes=notes, places=True)
    assert '<h1 id="title" data-line="1">' in made
    assert '<p data-line="3">See <a href="/ARTICLE:a.md">this</a><b>no</b> and' in made
    assert re.search(r'<li data-line="5"><img [^>]*><b>none</b>', made)
    assert "data-line" not in render_body(article, {}, {}, href)
