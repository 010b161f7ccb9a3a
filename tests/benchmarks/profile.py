"""Where the time goes that one article takes, as a table and a picture.

    python -m tests.benchmarks.profile --articles 300 --picture tests/benchmarks/profile.svg

Articles of a made-up site are made one after the other in this process, as a maker does it, and a
clock of the processor looks every few milliseconds at what is running. That costs nothing that
would bend the picture, as tracing every call would.
"""

from __future__ import annotations

import argparse
import signal
import tempfile
import time
from collections import Counter
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING

from stavewright.figures.drawer import Drawer
from stavewright.site.making.made import Order
from stavewright.site.making.make import make
from stavewright.site.making.parcel import Parcel
from stavewright.site.render import Renderer
from stavewright.site.stages.read import read
from stavewright.site.stages.values import Options, Request, Tools
from tests.benchmarks import sites
from tests.benchmarks.sites import SitePlan

if TYPE_CHECKING:
    from types import FrameType

_EVERY = 0.007
"""Seconds of the processor between two looks; longer than the engraver is ever away."""

_PARTS = (
    ("figures/drawer", "the engraver"),
    ("figures/svg", "drawings made small"),
    ("figures/mei", "MEI"),
    ("figures/musicxml", "MusicXML"),
    ("figures/midi", "sound and MIDI"),
    ("figures/sound", "sound and MIDI"),
    ("figures/spoken", "figures in words"),
    ("figures/views", "grids and other views"),
    ("site/social", "pictures for shared links"),
    ("notation/", "blocks and claims read"),
    ("checking/", "checks"),
    ("articles/", "Markdown and front matter"),
    ("site/", "figures and page set as HTML"),
)
"""What a file on the stack says is being done; the innermost that says anything counts."""


def shares(articles: int, seed: int, *, social: bool) -> dict[str, float]:
    """Milliseconds of the processor that one article takes, by what they go into."""
    with tempfile.TemporaryDirectory(prefix="stavewright-") as folder:
        content = Path(folder)
        sites.write(content, SitePlan(articles, seed, social))
        return _measure(content)


def _measure(content: Path) -> dict[str, float]:
    request = Request(content, Options())
    manner = read(request, Tools(makers=_Nobody())).manner
    renderer, drawer = Renderer.of(manner.theme), Drawer()
    paths = sorted((content / "answers").rglob("*.md"))
    orders = [
        Order(path.relative_to(content).as_posix(), path.name, path.read_bytes()) for path in paths
    ]
    for order in orders[:10]:  # what is loaded once is no article's own
        make(order, manner, renderer, drawer)
    looks: Counter[str] = Counter()
    signal.signal(signal.SIGPROF, lambda _, frame: looks.update((_what(frame),)))
    start = time.process_time()
    signal.setitimer(signal.ITIMER_PROF, _EVERY, _EVERY)
    for order in orders:
        Parcel.of(make(order, manner, renderer, drawer))
    signal.setitimer(signal.ITIMER_PROF, 0)
    spent = 1000 * (time.process_time() - start) / len(orders)
    whole = looks.total()
    return {what: spent * count / whole for what, count in looks.most_common()}


class _Nobody:
    """Makers that are never asked."""

    def make(self, *_: object) -> object:
        raise AssertionError

    def warm(self) -> None:
        raise AssertionError

    def rest(self) -> None:
        raise AssertionError


def _what(frame: FrameType | None) -> str:
    while frame is not None:
        _, found, file = frame.f_code.co_filename.rpartition("stavewright/")
        if found:
            for start, what in _PARTS:
                if file.startswith(start):
                    return what
        frame = frame.f_back
    return "the rest"


_ROW, _LEFT, _WIDE = 26, 210, 420


def picture(found: dict[str, float], title: str) -> str:
    """A bar for each part, as SVG."""
    most = max(found.values())
    height = _ROW * (len(found) + 2)
    rows = []
    for place, (what, spent) in enumerate(found.items()):
        y = _ROW * (place + 1.5)
        width = _WIDE * spent / most
        rows.append(
            f'<text x="{_LEFT - 8}" y="{y + 12}" text-anchor="end">{escape(what)}</text>'
            f'<rect x="{_LEFT}" y="{y}" width="{width:.1f}" height="{_ROW - 9}"/>'
            f'<text x="{_LEFT + width + 6:.1f}" y="{y + 12}">{spent:.1f} ms</text>'
        )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_LEFT + _WIDE + 80}" height="{height}" '
        'font-family="sans-serif" font-size="13" role="img">'
        f"<title>{escape(title)}</title>"
        '<rect width="100%" height="100%" fill="#fbf8f2"/><g fill="#22201c">'
        f'<text x="8" y="20" font-weight="bold">{escape(title)}</text>{"".join(rows)}</g></svg>\n'
    )


def main() -> None:
    parser = argparse.ArgumentParser(description="Show where the time of an article goes.")
    parser.add_argument("--articles", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--social", action="store_true", help="with pictures for shared links")
    parser.add_argument("--picture", type=Path)
    chosen = parser.parse_args()
    found = shares(chosen.articles, chosen.seed, social=chosen.social)
    whole = sum(found.values())
    for what, spent in found.items():
        print(f"{what:34}{spent:7.2f} ms{100 * spent / whole:6.1f} %")
    print(f"{'an article':34}{whole:7.2f} ms")
    if chosen.picture:
        title = f"An article with three figures: {whole:.0f} ms of one processor"
        chosen.picture.write_text(picture(found, title), encoding="utf-8")


if __name__ == "__main__":
    main()
