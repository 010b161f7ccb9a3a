"""Handbook pages that are written from tables say what the tables say."""

from pathlib import Path

import pytest

from stavewright.site.reference import PAGES, SETTINGS_PAGE, with_settings
from stavewright.site.setting_words import SETTING_WORDS, settings_table
from stavewright.site.settings import read_settings
from stavewright.theory.chord_table import suffixes

HANDBOOK = Path(__file__).parents[2] / "content" / "handbook"


@pytest.mark.parametrize("name", PAGES)
def test_the_page_in_the_handbook_is_not_stale(name):
    written = (HANDBOOK / name).read_text(encoding="utf-8")
    assert written == PAGES[name](), (
        "write it again: python -m stavewright.site.reference content/handbook"
    )


def test_every_canonical_suffix_is_printed():
    page = PAGES["chord-symbols.md"]()
    for row in suffixes():
        assert f"`chord: C{row.canonical}`" in page or f"`{row.canonical}`" in page


def test_the_table_of_settings_in_the_handbook_is_not_stale():
    written = (HANDBOOK / SETTINGS_PAGE).read_text(encoding="utf-8")
    assert settings_table() in written
    assert with_settings(written) == written
    assert with_settings(written.replace("`raw_html` |", "`html` |")) == written


def inside(name):
    return next(words.inside for words in SETTING_WORDS if words.name == name)


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("x: 1", SETTING_WORDS),
        ("publish: {folder: a, x: 1}", inside("publish")),
        ("navigation: [{title: a, path: b, x: 1}]", inside("navigation")),
    ],
)
def test_the_settings_that_are_described_are_those_that_are_read(written, words):
    """A finding about a name that does not exist lists all that do."""
    _, findings = read_settings(written, "site.yaml")
    _, _, known = findings[0].message.partition("; there are ")
    assert sorted(known.split(", ")) == sorted(f"`{each.name}`" for each in words)
