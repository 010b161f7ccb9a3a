"""Whole articles: any text, any bytes, any line ends."""

from hypothesis import example, given
from hypothesis import strategies as st

from stavewright.articles.check import check_article
from stavewright.articles.links import LinkIndex, check_links
from stavewright.articles.read import read_article, read_bytes
from stavewright.articles.render import render_body
from tests.articles.fuzz import FUZZ
from tests.articles.shown import assert_inside, read, show
from tests.articles.trees import fragment

PIECES = st.sampled_from(
    [
        "# ", "## ", "\n", "\n\n", "> ", "- ", "1. ", "    ", "\t", "```music\n", "```\n", "~~~\n",
        "`", "``", "`chord: F7 = F A C Eb`", "`key: D# major = 9 sharps`", "`note: A4 = 440 Hz`",
        "`rhythm: 3/8 = 1/4 + 1/8`", "`numeral: V7 in C minor", "notes: C4 D4\n", "time: 4/4\n",
        "[1:42]", "[99:99]", "{#a}", "{#é}", "[^1]", "[^1]: ", "^[", "[a](b.md#c)", "![", "](", ")",
        "term:", "[x](term:)", "| a | b |\n|---|---|\n", "|", "\\|", "\\", ": ", "~ ", "*", "_",
        "<b>", "<!--", "&amp;", "&#0;", "---\n", "title: x\n", "date: 2024-01-01\n", "\r", "\r\n",
        "\0", "\ufeff", "\u2028", "\x85", "\u05d0", "𝄞", "♯", "=\n", "\x0b", "\x0c", "\xa0",
    ]
)  # fmt: skip
TEXTS = st.lists(PIECES | st.text(max_size=4), max_size=30).map("".join)


@FUZZ
@given(TEXTS)
@example("[^a]\n\n[^a]: [^a]")
@example("![a[^1]](b)\n\n[^1]: x")
@example("- ```music\n\t\tx\n")
@example("|a|\n|-|\n> ")
@example("\n:\n:\n")
def test_any_text_is_an_article(text: str) -> None:
    for path in ("answers/page.md", "glossary.md"):
        article = read(text, path)
        index = LinkIndex.of([article])
        assert_inside(text, (*check_article(article), *check_links(article, index)))
        fragment(render_body(article, {}, {}, lambda link: link.target))
        assert len({heading.anchor for heading in article.headings}) == len(article.headings)
    # The same text, the same value; only tokens may differ in identity.
    assert read(text) == read(text)


@FUZZ
@given(TEXTS)
def test_line_ends_change_nothing(text: str) -> None:
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    assert read(plain) == read(plain.replace("\n", "\r\n"))


@FUZZ
@given(st.binary(max_size=60))
def test_any_bytes_are_an_article(data: bytes) -> None:
    article = read_bytes("page.md", data, "page.md")
    assert article.findings or data.decode("utf-8") is not None


def test_bytes_that_are_no_utf8() -> None:
    article = read_bytes("p.md", "# Prélude\n\nÀ b".encode("latin-1"), "p.md")
    assert [show(finding) for finding in article.findings] == [
        "1:5-6 syntax The byte 0xe9 begins no character of UTF-8"
    ]
    assert article.headings[0].text == "Pr\ufffdlude"


def test_byte_order_marks() -> None:
    text = "# Prélude `x`"
    assert read_bytes("p.md", text.encode("utf-8-sig"), "p.md") == read(text, "p.md")
    for encoding in ("utf-16-le", "utf-16-be"):
        article = read_bytes("p.md", ("\ufeff" + text).encode(encoding), "p.md")
        assert [show(f) for f in article.findings] == ["1:1-1 syntax It is saved as UTF-16"]
        assert article.front.title == "Prélude x"


def test_control_characters_are_named() -> None:
    article = read("One\n\ntwo \x07 \x08three")
    assert [show(finding) for finding in article.findings] == [
        "3:5-6 syntax An invisible control character (U+0007) stands here | "
    ]
    assert "\x07" not in render_body(article, {}, {}, str)


def test_raw_html_on_request() -> None:
    article = read_article("p.md", "a <b>c</b>", "p.md", raw_html=True)
    assert render_body(article, {}, {}, str) == "<p>a <b>c</b></p>\n"
