"""The settings file in an editor: what each name is for, and what could be written."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.editors.hover import Hover
from stavewright.editors.settings_text import SettingsText
from stavewright.editors.suggest import Completion
from stavewright.site.setting_words import SETTING_WORDS
from stavewright.site.settings import read_settings
from stavewright.site.themes import theme_names
from tests.editors.cases import CURSOR

NAMES = [words.name for words in SETTING_WORDS]
PUBLISH = ["folder", "branch", "repository", "push", "rsync"]
PATHS = ("index.md", "keys/minor.md", "bell.png")


def opened(text: str) -> tuple[SettingsText, int, int]:
    """The text without its cursor, and where that was."""
    before, _, after = text.partition(CURSOR)
    line = before.count("\n") + 1
    return SettingsText.read(before + after), line, len(before) - before.rfind("\n")


def hover(text: str) -> Hover | None:
    settings, line, column = opened(text)
    return settings.hover(line, column)


def complete(text: str) -> tuple[Completion, ...]:
    settings, line, column = opened(text)
    return settings.complete(line, column, lambda: PATHS)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("na‸me: Bell Street Band", "**name**: the name of the site, at the head of every page"),
        ("‸raw_html: true", "left out, what marks text up"),
        ("about: x\nsocial_pictures‸: true", "`false` makes no pictures for shared links"),
        ("publish:\n  fol‸der: ../public", "**folder**: a folder"),
        ("publish: {branch: pages, pu‸sh: origin}", "**push**: the remote"),
        ("navigation:\n  - title: A\n    pa‸th: a.md", "**path**: the page's Markdown file"),
        ("navigation:\n- ti‸tle : A", "**title**: what the link says"),
    ],
)
def test_a_name_is_explained(text: str, said: str) -> None:
    found = hover(text)
    assert found is not None
    assert said in found.markdown
    assert "](" not in found.markdown


@pytest.mark.parametrize(
    "text",
    [
        "name: about‸",
        "name: about‸: x",
        "# name‸: x",
        "nam‸: x",
        "  name‸: x",
        "about:\n  name‸: x",
        "publish:\n  name‸: x",
        "‸",
    ],
)
def test_of_other_words_nothing_is_said(text: str) -> None:
    assert hover(text) is None


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("‸", NAMES),
        ("na‸", NAMES),
        ("name: x\nauthor: y\nab‸\n", [n for n in NAMES if n not in ("name", "author")]),
        ("publish:\n  ‸", PUBLISH),
        ("publish: {‸}", PUBLISH),
        ("publish: {branch: pages, pu‸", PUBLISH),
        ("navigation:\n  - ‸", ["title", "path"]),
        ("navigation:\n  - title: x\n    p‸", ["title", "path"]),
        ("navigation:\n- {title: x, ‸", ["title", "path"]),
        ("raw_html: ‸", ["true", "false"]),
        ("social_pictures: f‸", ["true", "false"]),
        ("theme: q‸", list(theme_names())),
        ("navigation:\n  - path: k‸", ["index.md", "keys/minor.md"]),
        ("navigation: [{title: x, path: ‸", ["index.md", "keys/minor.md"]),
        ("name: ‸", []),
        ("name: T ra‸", []),
        ("raw_html:‸", []),
        ("# ra‸", []),
        ("about:\n  ‸", []),
        ("  ‸", []),
    ],
)
def test_what_could_be_written(text: str, labels: list[str]) -> None:
    assert [item.label for item in complete(text)] == labels


def test_a_name_is_written_with_its_colon_in_the_place_of_what_was_typed() -> None:
    found = {item.label: item for item in complete("name: x\nra‸")}
    assert (found["raw_html"].insert, found["raw_html"].start) == ("raw_html: ", 1)
    assert found["publish"].insert == "publish:"
    (first, *_) = complete("publish: {branch: pages, pu‸}")
    assert first.start == len("publish: {branch: pages, ") + 1


def test_what_is_offered_for_a_closed_list_is_taken() -> None:
    for words in SETTING_WORDS:
        for value in words.values:
            assert read_settings(f"{words.name}: {value}", "site.yaml")[1] == ()


PIECES = st.sampled_from(
    [
        "publish",
        "navigation",
        ":",
        " ",
        "\n",
        "  ",
        "- ",
        "{",
        "}",
        ",",
        "folder",
        "raw_html",
        "#",
        "𝄞",
        "\t",
        "\r\n",
        '"',
        "[",
        "\ufeff",
        "\x00",
        "title",
        "path: ",
        "theme: ",
    ]
)


@given(st.lists(PIECES, max_size=14).map("".join), st.integers(1, 6), st.integers(1, 30))
def test_there_is_an_answer(text: str, line: int, column: int) -> None:
    settings = SettingsText.read(text)
    found = settings.hover(line, column)
    if found is not None:
        assert found.span.line == line
    for item in settings.complete(line, column, lambda: PATHS):
        assert 1 <= item.start <= column
