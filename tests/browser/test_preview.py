"""The preview in a real browser: it reloads by itself, stays where the reader was, and is quiet."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.test_pages import DESK, Complaints
from tests.browser.test_pages import browser as browser
from tests.preview.test_preview import running

pytestmark = pytest.mark.browser


def test_a_save_reloads_the_page_in_place(browser: Browser, tmp_path: Path) -> None:
    with running(tmp_path / "project") as preview:
        article = preview.folder / "content/answers/minor.md"
        text = article.read_text("utf-8") + "\n\nA line.\n" * 200
        article.write_text(text, encoding="utf-8")
        page = browser.new_page(viewport=DESK)
        complaints = Complaints()
        host = f"http://127.0.0.1:{preview.port}/"
        complaints.listen(page, host)
        page.goto(f"{host}answers/minor/", wait_until="load")
        page.get_by_text("A line.").last.wait_for()
        page.wait_for_load_state("load")
        page.evaluate("scrollTo(0, 900)")
        article.write_text(text.replace("Back to", "Well, back to"), encoding="utf-8")
        page.get_by_text("Well, back to").wait_for()
        page.wait_for_load_state("load")
        # Asked from here: the page's own policy lets nobody poll inside it.
        for _ in range(100):
            if page.evaluate("scrollY"):
                break
            page.wait_for_timeout(20)
        assert page.evaluate("scrollY") == 900
        # Cut short by half a save, the page cannot reach the place; whole again, it does.
        for part, lines in ((text[:150], "detached"), (text, "attached")):
            article.write_text(part, encoding="utf-8")
            page.get_by_text("A line.").first.wait_for(state=lines)
            page.wait_for_load_state("load")
        page.wait_for_timeout(500)
        assert page.evaluate("scrollY") == 900
        assert page.locator(".stavewright-preview").count() == 0
        article.write_text(text.replace("cadence.md", "cadense.md"), encoding="utf-8")
        page.get_by_text("1 finding on this page").wait_for()
        message = page.get_by_text("There is no file `cadense.md`")
        assert message.is_visible()
        # A closed panel stays closed; an open one leaves the end of the page to be scrolled to.
        page.locator(".stavewright-preview summary").click()
        article.write_text(text.replace("cadence.md", "cadensse.md"), encoding="utf-8")
        page.get_by_text("There is no file `cadensse.md`").wait_for(state="attached")
        page.wait_for_load_state("load")
        assert not page.get_by_text("There is no file `cadensse.md`").is_visible()
        page.locator(".stavewright-preview summary").click()
        page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
        end = page.get_by_text("A line.").last.bounding_box()
        panel = page.locator(".stavewright-preview").bounding_box()
        assert end
        assert panel
        assert end["y"] + end["height"] <= panel["y"]
        page.close()
        assert complaints.heard == []
