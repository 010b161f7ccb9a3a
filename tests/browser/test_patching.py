"""Patching pages, a law: whatever two pages are, the one becomes the other."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.test_pages import browser as browser
from tests.preview.running import running

pytestmark = pytest.mark.browser

PAIRS = 400

# For each pair of pages: where the patched page, or what is kept aside, is not the second; and how
# often an element of the first that is in the second as it was has been put in place of itself.
PATCH = """async pairs => {
  const { Patcher } = await import("/_preview/patch.js");
  const parse = text => new DOMParser().parseFromString(text, "text/html");
  const wrong = [];
  for (const [index, [one, other]] of pairs.entries()) {
    const page = parse(one);
    const patcher = new Patcher(page);
    const fresh = parse(other);
    for (const next of [fresh, parse(one), parse(other)]) {
      const wanted = next.cloneNode(true).documentElement;
      patcher.apply(next);
      if (!page.documentElement.isEqualNode(wanted)) wrong.push([index, page.body.outerHTML]);
      if (!patcher.sent.documentElement.isEqualNode(wanted)) wrong.push([index, "kept aside"]);
    }
  }
  return wrong;
}"""
KEEP = """async ([one, other, selector]) => {
  const { Patcher } = await import("/_preview/patch.js");
  const parse = text => new DOMParser().parseFromString(text, "text/html");
  const page = parse(one);
  const kept = page.querySelector(selector);
  new Patcher(page).apply(parse(other));
  return page.querySelector(selector) === kept;
}"""


@pytest.fixture(scope="module")
def page(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with running(tmp_path_factory.mktemp("preview") / "project") as preview:
        page = browser.new_page()
        page.goto(f"{preview.address}_preview/findings")
        yield page
        page.close()


class Writer:
    """Writes pages by dice, from few words, so that two have much in common."""

    def __init__(self, dice: random.Random) -> None:
        self._dice = dice

    def page(self) -> str:
        title = self._dice.choice(["One", "Two"])
        kind = self._dice.choice(["", ' class="home"', ' class="article" lang="en"'])
        head = f"<head><title>{title}</title>{self._one_of('<meta name=a content=b>')}</head>"
        return (
            f"<!doctype html><html>{head}<body{kind}><main>{self._blocks(3)}</main></body></html>"
        )

    def changed(self, text: str) -> str:
        """A page with some of its characters' runs left out, doubled or put elsewhere."""
        parts = text.split("\n")
        for _ in range(self._dice.randint(1, 3)):
            place = self._dice.randrange(1, max(2, len(parts) - 1))
            step = self._dice.randrange(3)
            if step == 0:
                parts.insert(place, f"<p>{self._words()}</p>")
            elif step == 1 and len(parts) > 3:
                parts.append(parts.pop(place % len(parts)))
            else:
                parts.insert(place, parts[place % len(parts)])
        return "\n".join(parts)

    def _blocks(self, depth: int) -> str:
        return "\n".join(self._block(depth) for _ in range(self._dice.randint(0, 6)))

    def _block(self, depth: int) -> str:
        kinds = ["p", "h2", "figure", "text", "comment"] + ["div", "ul", "details"] * (depth > 0)
        kind = self._dice.choice(kinds)
        if kind == "text":
            return self._words()
        if kind == "comment":
            return f"<!--{self._words()}-->"
        if kind == "figure":
            return self._figure()
        if kind in {"div", "details"}:
            return f"<{kind}{self._attributes()}>{self._blocks(depth - 1)}</{kind}>"
        if kind == "ul":
            items = "".join(f"<li>{self._words()}</li>" for _ in range(self._dice.randint(1, 4)))
            return f"<ul>{items}</ul>"
        return f"<{kind}{self._attributes()}>{self._words()}<b>{self._words()}</b></{kind}>"

    def _figure(self) -> str:
        number, note = self._dice.randint(1, 3), self._dice.choice("CDE")
        return (
            f'<figure class="music" id="figure:{number}"><script type="application/json" '
            f'class="sound-data">{{"{note}": 1}}</script><div class="view"><svg><g id="g{number}">'
            f'<use href="#g{number}"/></g><text>{note}</text></svg></div>'
            f"<figcaption>{self._words()}</figcaption></figure>"
        )

    def _attributes(self) -> str:
        found = self._one_of(f' id="{self._dice.choice("abc")}"')
        found += self._one_of(f' class="{self._dice.choice(["x", "y z"])}"')
        return found + self._one_of(" hidden")

    def _words(self) -> str:
        return " ".join(
            self._dice.choices(["key", "chord", "tone", "beat"], k=self._dice.randint(0, 5))
        )

    def _one_of(self, text: str) -> str:
        return text if self._dice.random() < 0.3 else ""


def test_any_page_becomes_any_other(page: Page) -> None:
    writer = Writer(random.Random(1))
    pairs = []
    for number in range(PAIRS):
        one = writer.page()
        pairs.append((one, writer.changed(one) if number % 2 else writer.page()))
    assert page.evaluate(PATCH, pairs) == []


FIGURE = (
    '<figure class="music" id="figure:{0}"><div class="view"><svg><g id="g{0}">{1}</g></svg></div>'
    "<figcaption>{2}</figcaption></figure>"
)


@pytest.mark.parametrize(
    ("one", "other", "selector", "kept"),
    [
        ("<p>a</p><p id=x>b</p>", "<p>n</p><p>a</p><p id=x>b</p>", "#x", True),
        ("<p>a</p><p id=x>b</p>", "<p id=x>other</p>", "#x", True),
        ("<ul><li>1<li class=x>2<li>3</ul>", "<ul><li>0<li>1<li class=x>2<li>3</ul>", ".x", True),
        (
            "<details class=x>a b c</details>",
            "<p>n</p><details class=x>a b c d</details>",
            ".x",
            True,
        ),
        (FIGURE.format(1, "C", "a"), "<p>n</p>" + FIGURE.format(1, "C", "a"), "figure", True),
        # Another number, another caption: the same drawing.
        (FIGURE.format(1, "C", "a"), FIGURE.format(2, "C", "a"), "figure", True),
        (FIGURE.format(1, "C", "a"), FIGURE.format(1, "C", "b"), "figure", True),
        (FIGURE.format(1, "C", "a"), FIGURE.format(1, "D", "a"), "figure", False),
    ],
)
def test_what_is_the_same_is_the_same_element(
    page: Page, one: str, other: str, selector: str, kept: bool
) -> None:
    bodies = [f"<!doctype html><title>t</title><main>{text}</main>" for text in (one, other)]
    assert page.evaluate(KEEP, [*bodies, selector]) is kept


def test_the_scripts_are_few_and_have_no_one_else_to_ask() -> None:
    static = Path(__file__).parents[2] / "generator/stavewright/preview/static"
    for script in static.glob("*.js"):
        text = script.read_text("utf-8")
        assert "http:" not in text
        assert "https:" not in text
        assert not {"eval(", "innerHTML", "document.write", "Function("} & set(text.split())
