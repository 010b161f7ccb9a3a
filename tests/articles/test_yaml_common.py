"""What the quick reader of YAML takes it reads as the whole reader does; the rest it leaves."""

import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.articles.front_matter import body_start
from stavewright.articles.lines import Lines
from stavewright.articles.yaml_common import read_common
from stavewright.articles.yaml_nodes import YamlMap, YamlReadError
from stavewright.articles.yaml_whole import read_whole
from stavewright.notation.source import SourceText
from tests.articles.fuzz import FUZZ

ROOT = Path(__file__).parents[2]
WRITTEN = sorted((ROOT / "content").rglob("*.md"))


def whole(text: SourceText) -> YamlMap | None:
    try:
        return read_whole(text)
    except YamlReadError:
        return None


COMMON = [
    "title: G# major – why not?\nsummary: At 1:42, C#4 (half a mark's worth)\n",
    "video: {address: \"https://video.example/a1\", length: '6:40', still: a b.png }  # here\n",
    "# A comment\n\nvideo:\n  address: https://video.example/a1\n\n  length: 12:34   \n",
    "credits:\n- One\n- 'Two # too'\nrights: none\n",
    "navigation:\n  - title: A\n    path: a.md\n  -   title: B\n      path: b.md\nname: x\n",
    "summary:\nkind:   page\nsummary: twice\n",
    "a:\n b:\n  c:\n   d: deep\n",
    "",
    "# nothing\n",
]


@pytest.mark.parametrize("text", COMMON)
def test_common_forms(text: str) -> None:
    source = SourceText.plain(text)
    assert read_common(source) is not None
    assert read_common(source) == whole(source)


UNCOMMON = [
    "title: a\n  longer value\n",
    "title: >\n  folded\n",
    "title: 'it''s'\n",
    'title: "a\\tb"\n',
    "title: &a b\n",
    "title:\tb\n",
    "title: a: b\n",
    "title:b\n",
    "- a\n- b\n",
    " title: a\n",
    "a:\n   b: c\n  d: e\n",
    "a:\n  - b\n  c: d\n",
    "list: [a, b]\n",
    "group: {a: b: c}\n",
    "---\na: b\n",
    "\ufefftitle: b\n",
    "a:\n b:\n  c:\n   d:\n    e:\n     f:\n      g:\n       h:\n        i:\n         j: x\n",
]


@pytest.mark.parametrize("text", UNCOMMON)
def test_the_rest_is_left(text: str) -> None:
    assert read_common(SourceText.plain(text)) is None


@pytest.mark.parametrize("path", WRITTEN, ids=lambda path: path.stem)
def test_what_we_write_is_common(path: Path) -> None:
    texts = Lines.of(path.read_text("utf-8"), "x").texts
    source = SourceText.plain("\n".join(texts[1 : body_start(Lines("x", texts)) - 1]))
    found = read_common(source)
    assert found is not None
    assert found == whole(source)


@pytest.mark.parametrize("sign", [" ", "x ", "- ", ": ", "# ", "{a: ", ", b: c", "'", " :"])
def test_long_lines_take_no_time(sign: str) -> None:
    long = sign * 20_000
    for line in (long, f"a: {long}", f"a:{long}x: ", f"a: {{b: {long}", f"- {long}: "):
        start = time.process_time()
        read_common(SourceText.plain(line))
        assert time.process_time() - start < 1


WORDS = ["title: A", "a:", "- ", "- b", "  ", "\n", ": ", " #", "{a: b, c: 'd'}", "'x'", '"y"', "é"]
SIGNS = "-?:,[]{}#&*!|>'\"%@`~. \n\t\\0a\x85\u2028"
PIECES = st.sampled_from([*WORDS, *SIGNS])


@FUZZ
@given(st.sampled_from(COMMON), st.lists(st.tuples(st.integers(0, 200), PIECES), max_size=8))
def test_both_read_alike(text: str, changes: list[tuple[int, str]]) -> None:
    for place, piece in changes:
        text = text[:place] + piece + text[place:]
    source = SourceText.plain(text)
    found = read_common(source)
    assert found is None or found == whole(source)


@FUZZ
@given(st.lists(PIECES, max_size=14))
def test_both_read_alike_whatever_is_written(pieces: list[str]) -> None:
    source = SourceText.plain("".join(pieces))
    found = read_common(source)
    assert found is None or found == whole(source)
