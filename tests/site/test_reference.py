"""Handbook pages that are written from tables say what the tables say."""

from pathlib import Path

import pytest

from stavewright.site.reference import PAGES
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
