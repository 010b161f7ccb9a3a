"""While a figure sounds, every one of its views shows what sounds."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.test_pages import DESK
from tests.browser.test_pages import browser as browser
from tests.browser.views_site import views_site

pytestmark = pytest.mark.browser

# In the page: the views of a figure, and those in which something is lit.
LIT = """figure => [".view", ".view:has(.sounding)"].map(
  what => [...figure.querySelectorAll(what)].map(view => view.className).join(" "))"""


def test_every_view_lights_up(browser: Browser, tmp_path: Path) -> None:
    with views_site(tmp_path, "quire") as address:
        page = browser.new_page(viewport=DESK)
        page.goto(f"{address}views/")
        figure = page.locator("figure.music").first
        figure.locator(".sound-pace input").fill("25")
        figure.locator(".sound-play").click()
        figure.locator(".view-staff .sounding").first.wait_for()
        page.wait_for_timeout(100)
        shown, lit = figure.evaluate(LIT)
        assert len(shown.split(" ")) == 2 * 9
        assert lit == shown
        figure.locator(".sound-play").click()
        assert page.locator(".sounding").count() == 0
        page.close()
