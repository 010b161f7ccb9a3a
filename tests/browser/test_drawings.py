"""Drawings in a browser: the pixels of the engraver's own, from shapes that a page has once."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from stavewright.figures import FIGURE_CSS, glyph_sheet, glyphs_in
from stavewright.figures.staff import NARROW, WIDE
from stavewright.figures.svg.finish import finish
from tests.browser.test_pages import browser as browser
from tests.figures.scores import HERE, mei_text, read
from tests.figures.uncompacted import styled_drawer, uncompacted

pytestmark = pytest.mark.browser

NAMES = ("accidentals", "beams", "cadence", "drums", "graces-slurs", "numerals-all", "repeats")
FITTED = "svg { max-width: 100%; height: auto }"
"""As every drawing of ours is: it sets where a browser rounds a size that is no whole pixels."""
VIEW = {"width": 1000, "height": 900}


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    page = browser.new_page(viewport=VIEW)
    yield page
    page.close()


def _seen(page: Page, style: str, body: str) -> bytes:
    page.set_content(f"<!doctype html><style>body{{margin:9px}}{style}</style><body>{body}")
    return page.screenshot()


@pytest.mark.parametrize("name", NAMES)
def test_no_pixel_changes(page: Page, name: str) -> None:
    mei = mei_text(read(HERE / "constructs" / f"{name}.music"))
    for engraved in styled_drawer().pages(mei, (WIDE, NARROW)):
        drawing = finish(engraved)
        sheet = glyph_sheet(glyphs_in(drawing.markup))
        ours = _seen(page, FIGURE_CSS.read_text("utf-8"), sheet + drawing.markup)
        assert ours == _seen(page, FITTED, uncompacted(engraved, drawing))


def test_the_shapes_take_no_room(page: Page) -> None:
    sheet = glyph_sheet(("E0A4", "E050"))
    page.set_content(f"<style>{FIGURE_CSS.read_text('utf-8')}</style><body>{sheet}<p>Text</p>")
    bare = page.evaluate("document.querySelector('p').getBoundingClientRect().top")
    page.evaluate("document.querySelector('svg').remove()")
    assert page.evaluate("document.querySelector('p').getBoundingClientRect().top") == bare
