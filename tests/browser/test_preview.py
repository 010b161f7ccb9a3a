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
        page = browser.new_page(viewport=DESK)  # type: ignore[arg-type]
        complaints = Complaints()
        host = f"http://127.0.0.1:{preview.port}/"
        complaints.listen(page, host)
        page.goto(f"{host}answers/minor/", wait_until="load")
        page.get_by_text("A line.").last.wait_for()
        page.evaluate("scrollTo(0, 900)")
        article.write_text(text.replace("Back to", "Well, back to"), encoding="utf-8")
        page.get_by_text("Well, back to").wait_for()
        page.wait_for_function("scrollY > 0")
        assert page.evaluate("scrollY") == 900
        assert page.locator(".stavewright-preview").count() == 0
        article.write_text(text.replace("cadence.md", "cadense.md"), encoding="utf-8")
        page.get_by_text("1 finding on this page").wait_for()
        assert page.get_by_text("There is no file `cadense.md`").is_visible()
        page.close()
        assert complaints.heard == []
