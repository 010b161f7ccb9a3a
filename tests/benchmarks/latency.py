"""From a save to changed pixels: how long the author waits for the preview, seen by a browser.

A preview of a large site runs as it does for a person, with a page open in headless Chromium.
An article is saved again and again, as editors do it: written aside, then renamed. The clock starts
when the file has its new text and stops, in the browser, after the frame in which the change stands
in the page was painted. Both clocks are the machine's own.

    python -m tests.benchmarks.latency --articles 1000 --edits 100
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import statistics
import sys
import tempfile
import time
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

from tests.benchmarks import sites
from tests.preview.running import running

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page

_CHROMIUM = shutil.which("chromium")
_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
_FENCE = "```"
_WARM = 5
"""Edits of each kind before the measured ones."""
_REST = (0.1, 0.4)
"""Seconds between two saves: from, to. An author is never faster."""
_BUILT = 1800.0
"""Seconds that the first look at the site may take."""

# Resolves with the time, in milliseconds since 1970, at which a frame that shows the words was
# painted: a task after the animation frame that follows the change.
_ARM = """words => {
  const main = document.querySelector("main");
  window.painted = new Promise(resolve => {
    const look = () => {
      if (!main.textContent.includes(words)) return;
      watch.disconnect();
      requestAnimationFrame(() => {
        const after = new MessageChannel();
        after.port1.onmessage = () => resolve(performance.timeOrigin + performance.now());
        after.port2.postMessage(null);
      });
    };
    const watch = new MutationObserver(look);
    watch.observe(main, { childList: true, characterData: true, subtree: true });
  });
}"""


@dataclass(frozen=True, slots=True)
class Waits:
    """Milliseconds from saves to pixels."""

    what: str
    each: tuple[float, ...]
    target: float
    """What 19 of 20 must keep to."""

    @property
    def p95(self) -> float:
        """19 of 20 are as fast as this."""
        return statistics.quantiles(self.each, n=20, method="inclusive")[-1]

    @property
    def holds(self) -> bool:
        """Whether the target is kept."""
        return self.p95 <= self.target

    def line(self) -> str:
        """One line for people."""
        middle, longest = statistics.median(self.each), max(self.each)
        return (
            f"save to pixels, {self.what}: p95 {self.p95:.0f} ms of {self.target:.0f} allowed "
            f"(median {middle:.0f}, longest {longest:.0f}, {len(self.each)} edits)"
        )


def measure(articles: int, edits: int, seed: int = 1) -> list[Waits]:
    """Measure edits of text and of figures in a site of this many articles."""
    with tempfile.TemporaryDirectory(prefix="stavewright-") as folder:
        project = Path(folder)
        sites.write(project / "content", sites.SitePlan(articles, seed))
        number = articles // 2
        file = project / "content" / sites.article_path(number)
        with _page(project, file) as page:
            author = _Author(page, file, random.Random(seed))
            # By turns, so that neither kind is measured on a busier machine than the other.
            text: list[float] = []
            figure: list[float] = []
            for turn in range(_WARM + edits):
                text.append(author.save(author.with_new_words(turn)))
                figure.append(author.save(author.with_new_figure(turn)))
        return [
            Waits("text", tuple(text[_WARM:]), 150.0),
            Waits("a new figure of 4 bars", tuple(figure[_WARM:]), 250.0),
        ]


@contextmanager
def _page(project: Path, file: Path) -> Iterator[Page]:
    path = file.relative_to(project / "content").with_suffix("").as_posix()
    store = ("--store", str(project / "store"))
    with (
        running(project, *store, source=None, patience=_BUILT) as preview,
        sync_playwright() as play,
    ):
        browser = play.chromium.launch(executable_path=_CHROMIUM, args=_ARGUMENTS)
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.goto(f"{preview.address}{path}/", wait_until="load")
        yield page
        browser.close()


class _Author:
    """Whoever saves."""

    def __init__(self, page: Page, file: Path, dice: random.Random) -> None:
        self._page = page
        self._file = file
        self._dice = dice

    def save(self, edit: tuple[str, str]) -> float:
        """Save a text; how many milliseconds later its words could be seen."""
        text, words = edit
        time.sleep(self._dice.uniform(*_REST))
        self._page.evaluate(_ARM, words)
        aside = self._file.with_name(f".{self._file.name}.new")
        aside.write_text(text, encoding="utf-8")
        aside.replace(self._file)
        saved = time.time() * 1000
        painted = float(self._page.evaluate("() => window.painted"))
        return painted - saved

    def with_new_words(self, turn: int) -> tuple[str, str]:
        """The article with other words in one of its paragraphs, and these words."""
        lines = self._file.read_text("utf-8").split("\n")
        body = lines.index("---", 1)
        inside = False
        places = []
        for index, line in enumerate(lines):
            inside ^= line.startswith(_FENCE)
            is_text = line and not inside and not line.startswith((_FENCE, "#"))
            if index > body and is_text:
                places.append(index)
        place = self._dice.choice(places)
        words = f"words number {turn}"
        kept = lines[place].partition(" Then come ")[0]
        lines[place] = f"{kept} Then come {words}."
        return "\n".join(lines), words

    def with_new_figure(self, turn: int) -> tuple[str, str]:
        """The article with another figure in the place of one, and words of its caption."""
        lines = self._file.read_text("utf-8").split("\n")
        fences = [index for index, line in enumerate(lines) if line.startswith(_FENCE)]
        place = self._dice.randrange(len(fences) // 2)
        start, end = fences[2 * place] + 1, fences[2 * place + 1]
        block = sites.figures(self._dice)[self._dice.randrange(2)].splitlines()
        words = f"figure number {turn}"
        kept = [line for line in block if not line.startswith("caption:")]
        lines[start:end] = [*kept, f"caption: This is {words}."]
        return "\n".join(lines), words


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("--articles", type=int, default=1000)
    parser.add_argument("--edits", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--json", action="store_true", help="print each wait as well")
    asked = parser.parse_args()
    waits = measure(asked.articles, asked.edits, asked.seed)
    for each in waits:
        sys.stdout.write(each.line() + "\n")
    if asked.json:
        sys.stdout.write(json.dumps({each.what: each.each for each in waits}) + "\n")
    sys.exit(0 if all(each.holds for each in waits) else 1)


if __name__ == "__main__":
    main()
