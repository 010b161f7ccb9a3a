"""The least that could be done: what a build is measured against.

    python -m tests.benchmarks.bare engrave CONTENT    load and draw the MEI of every figure
    python -m tests.benchmarks.bare pages CONTENT      Markdown and one template for every article
    python -m tests.benchmarks.bare floor CONTENT SITE what even a program without any thought of
                                                       its own would add to `pages`

Each prints one line of JSON, `{"wall": s, "cpu": s, "count": n}`. Reading the content, and finding
out what there is to draw, is not counted; importing the libraries is.

The floor is what libraries in C take for work that no build can leave out: each drawing is parsed
once and nothing is done about it, each file of the built SITE is put into a store and written.
"""

from __future__ import annotations

import argparse
import atexit
import json
import os
import shutil
import sqlite3
import tempfile
import time
from pathlib import Path
from typing import TYPE_CHECKING

from stavewright.articles.read import read_bytes
from stavewright.figures import staff_jobs

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from stavewright.figures import EngravingJob

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
"""Those of our own engraver that make its work smaller or larger, but one: ours asks for sizes in
millimetres, because the engraver is faster without the style sheet that it then leaves out."""
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
    jobs = _jobs(content)

    def run() -> None:
        for _ in _drawn(jobs):
            pass

    return run, len(jobs)


def _jobs(content: Path) -> list[EngravingJob]:
    return [
        job
        for path in _articles(content)
        for block in read_bytes(path.name, path.read_bytes(), path.name, raw_html=False).blocks
        for job in staff_jobs(block.score)
    ]


def _drawn(jobs: list[EngravingJob]) -> Iterator[str]:
    import verovio

    toolkit = verovio.toolkit()
    # What the engraver has to say of each figure would be most of the terminal's work.
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
    for job in jobs:
        toolkit.setOptions(_OPTIONS | {"pageWidth": round(job.width * _PER_PIXEL)})
        if not toolkit.loadData(job.mei):
            raise RuntimeError("the engraver refused a figure")
        yield toolkit.renderToSVG(1)


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


def floor(content: Path, site: Path) -> tuple[Callable[[], None], int]:
    """Parse every drawing, keep every file of a built site, write every file."""
    drawings = list(_drawn(_jobs(content)))
    found = sorted(path for path in site.rglob("*") if path.is_file())
    files = [(path.relative_to(site).as_posix(), path.read_bytes()) for path in found]
    place = tempfile.mkdtemp(prefix="stavewright-", dir=site.parent)
    atexit.register(shutil.rmtree, place)  # when no clock runs

    def run() -> None:
        from xml.parsers import expat

        for drawing in drawings:
            expat.ParserCreate().Parse(drawing, True)
        _keep(files, f"{place}/store")
        _write(files, f"{place}/site")

    return run, len(files)


def _keep(files: list[tuple[str, bytes]], place: str) -> None:
    store = sqlite3.connect(place)
    store.execute("PRAGMA journal_mode = WAL")
    store.execute("PRAGMA synchronous = OFF")
    store.execute("CREATE TABLE kept (name TEXT PRIMARY KEY, data BLOB) WITHOUT ROWID")
    store.executemany("INSERT INTO kept VALUES (?, ?)", files)
    store.commit()
    store.close()


def _write(files: list[tuple[str, bytes]], place: str) -> None:
    for folder in sorted({path.rpartition("/")[0] for path, _ in files}):
        os.makedirs(f"{place}/{folder}", exist_ok=True)
    for path, data in files:
        with open(f"{place}/{path}", "wb") as opened:
            opened.write(data)


def _articles(content: Path) -> list[Path]:
    return sorted((content / "answers").rglob("*.md"))


def main() -> None:
    parser = argparse.ArgumentParser(description="Do the least that could be done.")
    works = parser.add_subparsers(required=True)
    for name, work in (("engrave", engrave), ("pages", pages), ("floor", floor)):
        chosen = works.add_parser(name, help=work.__doc__)
        chosen.add_argument("places", type=Path, nargs=2 if work is floor else 1)
        chosen.set_defaults(work=work)
    asked = parser.parse_args()
    run, count = asked.work(*asked.places)
    wall, cpu = time.perf_counter(), time.process_time()
    run()
    spent = {"wall": time.perf_counter() - wall, "cpu": time.process_time() - cpu, "count": count}
    print(json.dumps(spent))


if __name__ == "__main__":
    main()
