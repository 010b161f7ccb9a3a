"""The least that could be done: what a build is measured against.

    python -m tests.benchmarks.bare engrave CONTENT    load and draw the MEI of every figure
    python -m tests.benchmarks.bare pages CONTENT      Markdown and one template for every article

Each prints one line of JSON, `{"wall": s, "cpu": s, "count": n}`. Reading the content, and finding
out what there is to draw, is not counted; importing the libraries is.
"""

from __future__ import annotations

import argparse
import json
import os
import time
from pathlib import Path
from typing import TYPE_CHECKING

from stavewright.articles.read import read_bytes
from stavewright.figures import staff_jobs

if TYPE_CHECKING:
    from collections.abc import Callable

_OPTIONS = {
    "header": "none",
    "footer": "none",
    "adjustPageHeight": True,
    "breaks": "auto",
    "pageHeight": 60000,
    "scale": 40,
    "svgHtml5": True,
    "svgFormatRaw": True,
    "svgRemoveXlink": True,
    "smuflTextFont": "none",
    "xmlIdChecksum": True,
}
"""Those of our own engraver that make its work smaller or larger."""
_PER_PIXEL = 100 / _OPTIONS["scale"]

_PAGE = """\
<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><title>{{ page.title }}</title>
<meta name="description" content="{{ page.summary }}">
<link rel="stylesheet" href="style.css"></head>
<body>
<header><a href="/">{{ site.name }}</a>
<nav><ul>{% for item in site.navigation %}<li><a href="{{ item }}">{{ item }}</a></li>{% endfor %}
</ul></nav></header>
<main><article><h1>{{ page.title }}</h1><p>{{ page.summary }}</p>
{{ page.body|safe }}
<ul>{% for other in page.others %}<li><a href="{{ other }}">{{ other }}</a></li>{% endfor %}</ul>
</article></main>
<footer><p>{{ site.about }}</p></footer>
</body></html>
"""


def engrave(content: Path) -> tuple[Callable[[], None], int]:
    """Draw every MEI at its width once; no second try, nothing done with what comes back."""
    jobs = [
        job
        for path in _articles(content)
        for block in read_bytes(path.name, path.read_bytes(), path.name, raw_html=False).blocks
        for job in staff_jobs(block.score)
    ]

    def run() -> None:
        import verovio

        toolkit = verovio.toolkit()
        # What the engraver has to say of each figure would be most of the terminal's work.
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
        for job in jobs:
            toolkit.setOptions(_OPTIONS | {"pageWidth": round(job.width * _PER_PIXEL)})
            if not toolkit.loadData(job.mei):
                raise RuntimeError("the engraver refused a figure")
            toolkit.renderToSVG(1)

    return run, len(jobs)


def pages(content: Path) -> tuple[Callable[[], None], int]:
    """Turn every article into HTML and set it in a page."""
    texts = [path.read_text(encoding="utf-8") for path in _articles(content)]

    def run() -> None:
        from jinja2 import Environment
        from markdown_it import MarkdownIt

        parser = MarkdownIt("commonmark").enable("table")
        page = Environment(autoescape=True).from_string(_PAGE)
        site = {"name": "A site", "about": "About it.", "navigation": ["one", "two", "three"]}
        for text in texts:
            _, _, body = text.split("---", 2)
            html = parser.render(body)
            others = ["one", "two", "three"]
            shown = {"title": "A page", "summary": "What it says.", "body": html, "others": others}
            page.render(site=site, page=shown).encode("utf-8")

    return run, len(texts)


def _articles(content: Path) -> list[Path]:
    return sorted((content / "answers").rglob("*.md"))


def main() -> None:
    parser = argparse.ArgumentParser(description="Do the least that could be done.")
    parser.add_argument("work", choices=("engrave", "pages"))
    parser.add_argument("content", type=Path)
    chosen = parser.parse_args()
    run, count = {"engrave": engrave, "pages": pages}[chosen.work](chosen.content)
    wall, cpu = time.perf_counter(), time.process_time()
    run()
    spent = {"wall": time.perf_counter() - wall, "cpu": time.process_time() - cpu, "count": count}
    print(json.dumps(spent))


if __name__ == "__main__":
    main()
