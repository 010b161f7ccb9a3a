"""The policy of built pages in a real browser: it stops what it should, and nothing else.

Over http and from disk. That no page of the demonstration site offends against it over http is part
of `test_pages`, since a browser says so in the console.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from playwright.sync_api import Browser, Page

from stavewright.articles.read import read_article
from stavewright.articles.render import render_body
from tests.browser.test_pages import DESK, Complaints
from tests.browser.test_pages import browser as browser
from tests.browser.test_pages import host as host
from tests.browser.test_pages import site as site

pytestmark = pytest.mark.browser

# Keeps a list of what the policy stopped.
LISTEN = """window.stopped = [];
document.addEventListener("securitypolicyviolation", (event) => {
  stopped.push(`${event.effectiveDirective} ${event.blockedURI}`);
});"""
# What a hostile text would try, had it come into the page.
ATTACK = """async () => {
  window.harmed = [];
  const add = (name, given) => {
    const element = Object.assign(document.createElement(name), given);
    document.body.append(element);
    return element;
  };
  add("script", { textContent: "harmed.push('script')" });
  add("script", { src: "data:text/javascript,harmed.push('data')" });
  add("style", { textContent: "body { --harmed: 1 }" });
  add("p", { innerHTML: "<span style='--harmed: 1'>x</span>" });
  add("p", { innerHTML: "<img src='x.png' onerror='harmed.push(`handler`)'>" });
  add("iframe", { src: "https://example.org/" });
  add("object", { data: "x.pdf" });
  add("base", { href: "https://example.org/" });
  add("img", { src: "https://example.org/x.png" });
  const link = add("a", { href: "javascript:harmed.push('link')" });
  link.click();
  // Later, because the browser lets the test itself evaluate what it likes.
  setTimeout(() => new Function("harmed.push('function')")(), 10);
  try { await fetch("https://example.org/"); } catch {}
  await new Promise((done) => setTimeout(done, 300));
  if (getComputedStyle(document.body).getPropertyValue("--harmed")) harmed.push("style");
  if (document.baseURI !== location.href) harmed.push("base");
  return [harmed, [...new Set(stopped.map((each) => each.split(" ")[0]))].sort()];
}"""
STOPPED = [
    "base-uri",
    "connect-src",
    "frame-src",
    "img-src",
    "object-src",
    "script-src",
    "script-src-attr",
    "script-src-elem",
    "style-src-attr",
    "style-src-elem",
]


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    page = browser.new_page(viewport=DESK)
    page.add_init_script(LISTEN)
    yield page
    page.close()


def from_disk(site: Path, file: str) -> str:
    return (site / file).as_uri()


def test_every_page_is_sound_when_opened_from_disk(page: Page, site: Path) -> None:
    complaints = Complaints()
    complaints.listen(page, "file://")
    faults: dict[str, list[str]] = {}
    players = 0
    # This page is shown at addresses of any depth and so speaks from the root of its host.
    pages = [path for path in sorted(site.rglob("*.html")) if path.name != "404.html"]
    for path in pages:
        page.goto(path.as_uri(), wait_until="load")
        found = [*complaints.heard, *page.evaluate("stopped")]
        complaints.heard.clear()
        players += page.locator(".sound:not([hidden])").count()
        assert page.locator(".sound[hidden]").count() == 0
        if found:
            faults[path.relative_to(site).as_posix()] = found
    assert faults == {}
    assert players > 50


@pytest.mark.parametrize("opened", ["http", "disk"])
def test_what_a_hostile_text_would_try_comes_to_nothing(
    page: Page, site: Path, host: str, opened: str
) -> None:
    page.goto(host if opened == "http" else from_disk(site, "index.html"), wait_until="load")
    harmed, stopped = page.evaluate(ATTACK)
    assert harmed == []
    assert stopped == STOPPED


def test_a_figure_plays_from_disk(page: Page, site: Path) -> None:
    file = next(path for path in sorted(site.rglob("*.html")) if b"sound-data" in path.read_bytes())
    page.goto(file.as_uri(), wait_until="load")
    page.locator(".sound-play").first.click()
    page.wait_for_selector(".sound.is-playing")
    page.wait_for_selector(".sounding", state="attached")
    page.locator(".sound-play").first.click()
    page.wait_for_selector(".sound:not(.is-playing)")


HOSTILE = yaml.safe_load((Path(__file__).parents[1] / "articles/data/html.yaml").read_text("utf-8"))
# Anything that a text of these would call, and anything that a parser made of it beyond its words.
HEAD = "<!doctype html><script>harmed = []; alert = (what) => harmed.push(what)</script><body>"
STRANGE = """() => {
  const odd = "script,style,iframe,object,embed,form,input,button,link,meta,base,svg,math";
  for (const each of document.body.querySelectorAll("*")) {
    for (const { name, value } of each.attributes) {
      if (/^on|^style$/.test(name) || /^\\s*(javascript|data|vbscript):/i.test(value)) {
        harmed.push(`${each.tagName} ${name}`);
      }
    }
    if (each.matches("details,summary")) each.click();
  }
  harmed.push(...[...document.body.querySelectorAll(odd)].map((each) => each.outerHTML));
  return harmed;
}"""


def test_no_html_of_an_article_runs_even_without_the_policy(browser: Browser) -> None:
    """The text is cleaned by itself; the policy is a second wall, and is taken away here."""
    page = browser.new_page(bypass_csp=True)
    page.route("**/*", lambda route: route.abort())
    for case in HOSTILE:
        article = read_article("page.md", case["text"], "page.md")
        body = render_body(article, {}, {}, lambda link: link.target)
        page.set_content(HEAD + body)
        assert page.evaluate(STRANGE) == [], case["title"]
    # What this test would see if the text were let through.
    page.set_content(f"{HEAD}<svg><a xlink:href='javascript:alert(1)'>x</a></svg><img onerror=''>")
    assert len(page.evaluate(STRANGE)) == 3
    page.close()
