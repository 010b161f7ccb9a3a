"""Exact places of code spans and links, wherever they stand; and of music in fences."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.articles.fences import fence_source, is_music
from stavewright.articles.lines import Lines
from stavewright.articles.places import code_source, inline_places
from tests.articles.fuzz import FUZZ
from tests.articles.shown import read
from tests.articles.yaml_cases import Case, yaml_cases

CASES = yaml_cases("places.yaml")
Place = tuple[int, int]


def marked(text: str) -> tuple[str, list[Place], list[str]]:
    """The text without its marks; where each marked stretch begins; what it holds."""
    places: list[Place] = []
    stretches: list[str] = []
    plain = ""
    for index, part in enumerate(text.replace("»", "«").split("«")):
        if index % 2:
            line = plain.count("\n") + 1
            places.append((line, len(plain) - (plain.rfind("\n") + 1) + 1))
            stretches.append(part)
        plain += part
    return plain, places, stretches


def as_read(stretch: str) -> str:
    """What CommonMark and its tables make of a code span's text."""
    return stretch.replace("\n", " ").replace("\\|", "|")


def found(text: str, skip: list[str]) -> list[tuple[Place, str]]:
    """What the reader makes of the text: places and texts of code spans and links."""
    article = read(text)
    lines = Lines.of(text, "x")
    got: list[tuple[Place, str]] = []
    for inline, places in inline_places(lines, article.tokens):
        for token in inline.children or ():
            if token.type == "code_inline" and token.content not in skip:
                source = code_source(token, places)
                for piece in source.lines:
                    row = lines.texts[piece.line - 1][piece.column - 1 :]
                    assert row.startswith(piece.text) or (piece.text == " " and len(row) == 1)
                first = source.lines[0]
                got.append(((first.line, first.column), "".join(p.text for p in source.lines)))
            elif token.type in {"link_open", "image"}:
                span = article.links[token.meta["link"]].span
                row = lines.texts[span.line - 1]
                got.append(((span.line, span.column), row[span.column - 1 : span.end_column - 1]))
    return got


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize("case", CASES)
def test_places(case: Case, line_end: str) -> None:
    text, places, stretches = marked(case["text"])
    expected = list(zip(places, map(as_read, stretches), strict=True))
    if "order" in case:
        expected.sort(key=lambda pair: case["order"].index(pair[1]))
    assert found(text.replace("\n", line_end), case.get("skip", [])) == expected


PIECES = st.sampled_from(
    [
        "`a`", "`` b`c ``", "`d e`", "``f``", "`g\\|h`", "`i", "\n", "\n\n", "\n> ", "\n- ", "\n  ",
        "\n   ", "\n| ", " | ", "|", "\n|---|---|\n| ", "\n: ", "\n\t", "\n# ", " #", "\n===\n",
        "\n1. ", "\\", "\\`", " ", "  ", "*", "[", "](x.md)", "![", "](<y z>)", "\xa0", "𝄞", "é",
        "> ", "- ", "\n[^1]: ", "[^1]", " [1:42]", " {#x}", "\n---\n", "\n\n    ", "x", "<b>",
    ]
)  # fmt: skip


@FUZZ
@given(st.lists(PIECES, max_size=40).map("".join))
def test_every_code_span_is_where_it_is_said_to_be(text: str) -> None:
    article = read(text)
    lines = Lines.of(text, "x")
    for inline, places in inline_places(lines, article.tokens):
        for token in inline.children or ():
            if token.type != "code_inline":
                continue
            source = code_source(token, places)
            assert "".join(piece.text for piece in source.lines) == token.content
            for piece in source.lines:
                # Spaces may stand for a line end or a tab; all else stands where it is said to.
                core = piece.text.lstrip(" ")
                start = piece.column - 1 + len(piece.text) - len(core)
                written = lines.texts[piece.line - 1]
                assert 0 < piece.column <= len(written) + 1
                assert written.startswith(core, start)
            opening = source.lines[0]
            if opening.text.strip(" ") and opening.column > 1:
                assert lines.texts[opening.line - 1][opening.column - 2] in "` "


@pytest.mark.parametrize("prefix", ["", "> ", "> > ", "- ", "1. ", "> - ", "   ", "-\t"])
def test_music_in_containers(prefix: str) -> None:
    deeper = "".join(sign if sign in "> \t" else " " for sign in prefix)
    rows = ["```music", "notes: C4", "  D4", "", "//  ```", "```", "after"]
    text = "\n".join((prefix if not i else deeper) + row for i, row in enumerate(rows))
    article = read(text)
    lines = Lines.of(text, "x")
    fence = next(token for token in article.tokens if is_music(token))
    source = fence_source(lines, fence)
    assert [line.text for line in source.lines] == rows[1:5]
    assert source.fence.line == 1
    assert lines.texts[0][source.fence.column - 1 : source.fence.end_column - 1] == rows[0]
    for line in source.lines:
        row = lines.texts[line.line - 1]
        assert row[line.column - 1 :] == line.text
    assert [finding for finding in article.findings if finding.rule == "syntax"] == []


def test_a_tab_over_the_indent_is_one_space() -> None:
    text = "- ```music\n\t\tnotes: C4\n  ```"
    fence = next(token for token in read(text).tokens if is_music(token))
    (line,) = fence_source(Lines.of(text, "x"), fence).lines
    assert line.text.lstrip() == "notes: C4"
    assert line.column + len(line.text) - len(line.text.lstrip()) == 3


@pytest.mark.parametrize(
    ("text", "closed"),
    [
        ("```music\nnotes: C4\n```", True),
        ("```music\nnotes: C4\n```\n", True),
        ("````music\n```\n````", True),
        ("~~~ music wide\nx\n~~~~", True),
        ("```music\n```", True),
        ("```music", False),
        ("```music\n", False),
        ("```music\nnotes: C4", False),
        ("```music\nnotes: C4\n\n", False),
        ("> ```music\n> notes: C4\n\n```\n\n```", False),
        ("- ```music\n  notes: C4\n\nx", False),
    ],
)
def test_an_open_block_is_reported(text: str, closed: bool) -> None:
    found = [f for f in read(text).findings if "not closed" in f.message]
    assert len(found) == (not closed)


def test_only_music_is_music() -> None:
    text = "```musical\n```\n\n```\nmusic\n```\n\n    ```music\n    ```\n\n``` music x\n```"
    assert len(read(text).blocks) == 1
