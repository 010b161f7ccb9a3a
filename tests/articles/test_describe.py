"""The text for a video's description."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.articles.article import Article
from stavewright.articles.describe import compose, describe
from tests.articles.fuzz import FUZZ
from tests.articles.shown import read

PAGE = "https://example.org/answers/page/"
TEXT = """\
---
title: Why G# major
summary: A key that no signature writes. It has eight sharps.
date: 2024-05-31
video: {address: "https://video.example/1", length: 5:00}
credits: [The tune is traditional., Drawn by the author.]
disclosure: The horn was lent.
---
# Why

## The question [0:20]

## Aside

## The answer [1:42]
"""
WHOLE = """\
A key that no signature writes. It has eight sharps.

The article: https://example.org/answers/page/

Chapters:
0:00 Introduction
0:20 The question
1:42 The answer

Sections of the article:
The question: https://example.org/answers/page/#the-question
The answer: https://example.org/answers/page/#the-answer

Credits:
The tune is traditional.
Drawn by the author.

Disclosure: The horn was lent.
Disclosure: This channel lives from donations."""


def addresses(article: Article) -> dict[str, str]:
    return {heading.anchor: f"{PAGE}#{heading.anchor}" for heading in article.headings}


def test_the_whole_text() -> None:
    article = read(TEXT)
    site = "This channel  lives\nfrom donations."
    assert describe(article, PAGE, addresses(article), 5000, site) == WHOLE
    assert describe(article, PAGE, addresses(article), len(WHOLE), site) == WHOLE
    assert describe(article, PAGE, addresses(article), len(WHOLE) - 1, site) != WHOLE


def test_what_is_given_up_in_order() -> None:
    article = read(TEXT)
    seen: list[str] = []
    for limit in range(len(WHOLE), -1, -1):
        made = compose(article, PAGE, addresses(article), limit)
        assert list(made.omitted[: len(seen)]) == seen
        seen = list(made.omitted)
    assert seen == [
        "addresses of sections",
        "the summary's later sentences",
        "the summary",
        "the chapters",
        "the credits",
        "where the credits stand",
        "the disclosures",
        "the article's address",
    ]


def test_a_bare_article() -> None:
    assert describe(read("# One"), PAGE, {}, 500) == PAGE


words = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=20)


@FUZZ
@given(
    st.lists(st.tuples(words, st.integers(0, 5000)), max_size=6),
    words,
    st.lists(words, max_size=3),
    st.integers(0, 600),
)
def test_any_article(
    sections: list[tuple[str, int]], summary: str, credits_: list[str], limit: int
) -> None:
    rows = [f"## {title} [{at // 60}:{at % 60:02}]\n" for title, at in sections]
    quoted = [text.replace("'", "''") for text in credits_]
    front = ["---", f"summary: '{summary.replace(chr(39), chr(39) * 2)}'"]
    front += ["credits:", *(f"- '{text}'" for text in quoted), "---"] if quoted else ["---"]
    article = read("\n".join([*front, *rows]))
    known = addresses(article)
    text = describe(article, PAGE, known, limit)
    assert len(text) <= limit
    assert set(re.findall(r"https://example\.org\S*", text)) <= {PAGE, *known.values()}
    assert PAGE in text or not text
    times = [60 * int(m) + int(s) for m, s in re.findall(r"^(\d+):(\d\d) ", text, re.MULTILINE)]
    if "Chapters:" in text.split("\n"):
        assert times[0] == 0
        assert times == sorted(times)


@pytest.mark.parametrize("limit", [0, 1, len(PAGE) - 1])
def test_no_address_is_cut(limit: int) -> None:
    assert describe(read(TEXT), PAGE, {}, limit) == ""
