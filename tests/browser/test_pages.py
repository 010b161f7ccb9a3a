"""Every page of the demonstration site in a real browser, on a desk and on a phone.

What must hold: no complaint in the console, no failed request, none to another host, every figure
visible, and no page wider than the screen.
"""

import os
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from stavewright.site.making.workshop import Workshop
from stavewright.site.pipeline import build
from stavewright.site.stages.values import Options, Tools

pytestmark = pytest.mark.browser

CONTENT = Path(__file__).parents[2] / "content"
CHROMIUM = shutil.which("chromium")
ARGUMENTS = [
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
DESK = {"width": 1280, "height": 900}
PHONE = {"width": 360, "height": 740}
SMALLEST = {"width": 320, "height": 640}

# In the page: figures that take no room, and elements that stick out of the screen. What scrolls in
# a box of its own is not sticking out.
UNSEEN = """() => [...document.querySelectorAll("figure")].filter(figure => {
  const pictures = [...figure.querySelectorAll("svg, table, .findings")];
  const seen = pictures.filter(picture => {
    const box = picture.getBoundingClientRect();
    return box.width > 1 && box.height > 1 && getComputedStyle(picture).visibility === "visible";
  });
  return seen.length === 0;
}).map(figure => figure.id)"""
OVERFLOW = """() => {
  const width = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= width) return [];
  return [...document.querySelectorAll("body *")]
    .filter(element => element.getBoundingClientRect().right > width + 1)
    .map(element => `${element.tagName}.${element.getAttribute("class")}`)
    .slice(0, 5);
}"""


@dataclass
class Complaints:
    """What a browser has to say about a page."""

    heard: list[str] = field(default_factory=list)

    def listen(self, page: Page, host: str) -> None:
        """Hear everything the page does wrong."""
        page.on(
            "console",
            lambda said: (
                self.heard.append(f"console: {said.text}")
                if said.type in {"error", "warning"}
                else None
            ),
        )
        page.on("pageerror", lambda error: self.heard.append(f"script: {error}"))
        page.on(
            "requestfailed",
            lambda request: (
                None
                # Going on to the next page breaks off what still loads, such as the icon.
                if request.failure == "net::ERR_ABORTED"
                else self.heard.append(f"failed: {request.url} {request.failure}")
            ),
        )
        page.on(
            "response",
            lambda answer: (
                self.heard.append(f"{answer.status}: {answer.url}")
                if answer.status >= 400
                else None
            ),
        )
        page.on(
            "request",
            lambda request: (
                None
                if request.url.startswith((host, "data:"))
                else self.heard.append(f"another host: {request.url}")
            ),
        )


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    if CHROMIUM is None:
        if os.environ.get("STAVEWRIGHT_BROWSER_REQUIRED"):
            pytest.fail("STAVEWRIGHT_BROWSER_REQUIRED is set and there is no chromium")
        pytest.skip("there is no chromium on this machine")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=ARGUMENTS, chromium_sandbox=False
        )
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration site, built once, errors and all, so that those pages are looked at too."""
    folder = tmp_path_factory.mktemp("demo") / "site"
    with Workshop(2) as makers:
        build(CONTENT, folder, Options(keep_going=True, root="/"), Tools(makers))
    return folder


@contextmanager
def serving(site: Path) -> Iterator[str]:
    """Serve a built site; gives its address."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(site)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()
    thread.join()


@pytest.fixture(scope="module")
def host(site: Path) -> Iterator[str]:
    with serving(site) as address:
        yield address


def paths(site: Path) -> list[str]:
    found = (path.relative_to(site).as_posix() for path in sorted(site.rglob("*.html")))
    return [path.removesuffix("index.html") for path in found]


@pytest.mark.parametrize("screen", [DESK, PHONE], ids=["desk", "phone"])
def test_every_page_is_sound(
    browser: Browser, site: Path, host: str, screen: dict[str, int]
) -> None:
    faults: dict[str, list[str]] = {}
    context = browser.new_context(viewport=screen)
    page = context.new_page()
    complaints = Complaints()
    complaints.listen(page, host)
    for path in paths(site):
        page.goto(host + path, wait_until="load")
        found = list(complaints.heard)
        complaints.heard.clear()
        found += [f"unseen: {figure}" for figure in page.evaluate(UNSEEN)]
        found += [f"sticks out: {element}" for element in page.evaluate(OVERFLOW)]
        if found:
            faults[path] = found
    context.close()
    assert faults == {}


def test_pages_can_be_read_on_the_smallest_screen_and_without_scripts(
    browser: Browser, site: Path, host: str
) -> None:
    faults: dict[str, list[str]] = {}
    context = browser.new_context(viewport=SMALLEST, java_script_enabled=False)
    page = context.new_page()
    for path in paths(site):
        page.goto(host + path, wait_until="load")
        if not page.locator("main h1").first.is_visible():
            faults[path] = ["no heading"]
    context.close()
    assert faults == {}


def test_the_link_into_the_text_comes_first_and_works(browser: Browser, host: str) -> None:
    page = browser.new_page(viewport=DESK)
    page.goto(host)
    page.keyboard.press("Tab")
    focused = page.evaluate("document.activeElement.getAttribute('href')")
    page.keyboard.press("Enter")
    assert focused == "#page:text"
    assert page.evaluate("location.hash") == "#page:text"
    page.close()


def test_nothing_in_the_text_leaves_the_column(browser: Browser, host: str) -> None:
    page = browser.new_page(viewport=DESK)
    page.goto(f"{host}glossary/")
    lefts = page.evaluate(
        """[...document.querySelectorAll("main h1, .prose > *, .term-uses > *")]
        .map(element => Math.round(element.getBoundingClientRect().left))"""
    )
    assert len(lefts) > 3
    assert len(set(lefts)) == 1
    page.close()
