"""How long builds of large sites take, beside the least that could be done.

Every build is the command a person types, in a process of its own, with a store of its own. All
ratios come from one run: what is compared runs on the same machine within minutes.
"""

from __future__ import annotations

import gzip
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING

import psutil

from tests.benchmarks import sites
from tests.benchmarks.sites import SitePlan

if TYPE_CHECKING:
    from collections.abc import Sequence

_ROOT = Path(__file__).parents[2]
_SAMPLE_SECONDS = 0.1
WORKERS = 2
_NO_BYTECODE = "PYTHONDONTWRITEBYTECODE"


@dataclass(frozen=True, slots=True)
class Spent:
    """What a process, with all processes it started, took."""

    wall: float
    """Seconds."""
    cpu: float
    """Seconds of all processors together."""
    memory: float = 0.0
    """Megabytes at the peak, of all its processes together; shared pages are counted in parts."""


@dataclass(frozen=True, slots=True)
class Ratio:
    """One line of the table."""

    what: str
    value: float
    target: float | None
    """At most this; None where nothing is aimed at."""
    told: str
    """The two numbers it was made of."""

    @property
    def verdict(self) -> str:
        if self.target is None:
            return ""
        return "holds" if self.value <= self.target else "misses"


def ratios(articles: int, more: int | None, seed: int) -> list[Ratio]:
    """Measure a site of `articles` and, unless it is None, one of `more`."""
    with tempfile.TemporaryDirectory(prefix="stavewright-") as folder:
        place = Path(folder)
        site = _Site(place / "site", SitePlan(articles, seed))
        found = _of_one(site)
        found.append(_with_pictures(place, site))
        found.append(_carried_by_the_heaviest(site))
        if more is not None:
            found += _of_two(site, _Site(place / "larger", SitePlan(more, seed)))
        return found


class _Site:
    """A site and where it is built; a first build is measured when it is made."""

    def __init__(self, folder: Path, plan: SitePlan) -> None:
        self.plan = plan
        self.content = folder / "content"
        self.output = folder / "site"
        self._store = folder / "store"
        sites.write(self.content, plan)
        self.full = self.build()

    def build(self) -> Spent:
        command = ["stavewright", "build", "--workers", str(WORKERS)]
        places = ["--content", str(self.content), "--output", str(self.output)]
        return spent([*command, *places], {**_environment(), "STAVEWRIGHT_STORE": str(self._store)})

    def change_a_word(self) -> None:
        """One that its own page alone shows."""
        self._change("\n## ")

    def change_a_summary(self) -> None:
        """A word that the list of articles, the feed and its neighbours show as well."""
        self._change("\nsummary: ")

    def _change(self, after: str) -> None:
        path = self.content / sites.article_path(self.plan.articles // 2)
        head, mark, rest = path.read_text(encoding="utf-8").partition(after)
        path.write_text(head + mark + rest.replace("The ", "Every ", 1), encoding="utf-8")

    def heaviest_article(self) -> int:
        """Bytes over the wire of the largest article, with every file of its theme."""
        pages = self.output.glob("answers/*/*/index.html")
        page = max(pages, key=lambda path: path.stat().st_size)
        own = {"music", "social"}
        theme = (each for each in (self.output / "assets").iterdir() if each.name not in own)
        files = [path for folder in theme for path in folder.rglob("*") if path.is_file()]
        return sum(_carried(path) for path in (page, *files))


def _of_one(site: _Site) -> list[Ratio]:
    full = site.full
    again = site.build()
    site.change_a_word()
    word = site.build()
    site.change_a_summary()
    summary = site.build()
    engraving = _bare("engrave", site.content)
    pages = _bare("pages", site.content)
    floor = _bare("floor", site.content, site.output).cpu + pages.cpu
    rest = full.cpu - engraving.cpu
    count = site.plan.articles
    return [
        _ratio(f"{count}: full build / bare engraving", full.wall, engraving.wall, 0.70),
        _ratio(f"{count}: all but engraving / bare pages (processor)", rest, pages.cpu, 3.0),
        _ratio(f"{count}: floor of all but engraving / bare pages", floor, pages.cpu, None),
        _ratio(f"{count}: nothing changed / full build", again.wall, full.wall, 0.02),
        _ratio(f"{count}: one word changed / full build", word.wall, full.wall, 0.03),
        _ratio(f"{count}: one word of a summary / full build", summary.wall, full.wall, 0.03),
    ]


def _of_two(site: _Site, larger: _Site) -> list[Ratio]:
    what = f"{larger.plan.articles} / {site.plan.articles} articles"
    return [
        _ratio(f"{what}: time", larger.full.wall, site.full.wall, 11.0),
        _ratio(f"{what}: memory (MB)", larger.full.memory, site.full.memory, 1.5),
    ]


def _with_pictures(place: Path, site: _Site) -> Ratio:
    """What pictures for shared links cost, on a tenth of the site."""
    count = max(site.plan.articles // 10, 1)
    plain = _Site(place / "plain", SitePlan(count, site.plan.seed))
    social = _Site(place / "social", SitePlan(count, site.plan.seed, social=True))
    what = f"{count}: full build with pictures for shared links / without"
    return _ratio(what, social.full.wall, plain.full.wall, None)


def _carried_by_the_heaviest(site: _Site) -> Ratio:
    return Ratio(
        "kilobytes of the heaviest page, packed, with all it may load",
        site.heaviest_article() / 1000,
        100.0,
        "1 kB = 1,000 bytes",
    )


def _ratio(what: str, ours: float, measure: float, target: float | None) -> Ratio:
    return Ratio(what, ours / measure, target, f"{ours:.2f} / {measure:.2f}")


def _bare(work: str, *places: Path) -> Spent:
    command = [sys.executable, "-m", "tests.benchmarks.bare", work, *map(str, places)]
    ran = subprocess.run(
        command, cwd=_ROOT, env=_environment(), check=True, capture_output=True, text=True
    )
    told = json.loads(ran.stdout)
    return Spent(told["wall"], told["cpu"])


def _environment() -> dict[str, str]:
    """That of this process, with the compiled modules that any installation keeps."""
    return {name: value for name, value in os.environ.items() if name != _NO_BYTECODE}


def spent(command: Sequence[str], environment: dict[str, str] | None = None) -> Spent:
    """Run `stavewright …` and say what it took. Raises `CalledProcessError` if it fails."""
    arguments = [sys.executable, "-m", *command]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    with subprocess.Popen(
        arguments, cwd=_ROOT, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
    ) as process:
        watch = _Watch(process.pid)
        watch.start()
        said, _ = process.communicate()
        wall = time.perf_counter() - start
    watch.join()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, arguments, said)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Spent(wall, cpu, watch.peak / 1e6)


class _Watch(Thread):
    """Looks at the memory of a process and its children until it ends."""

    def __init__(self, pid: int) -> None:
        super().__init__(daemon=True)
        self._pid = pid
        self.peak = 0

    def run(self) -> None:
        while True:
            try:
                process = psutil.Process(self._pid)
                if process.status() == psutil.STATUS_ZOMBIE:
                    return
                family = [process, *process.children(recursive=True)]
                self.peak = max(self.peak, sum(_memory(each) for each in family))
            except psutil.NoSuchProcess:
                return
            time.sleep(_SAMPLE_SECONDS)


def _memory(process: psutil.Process) -> int:
    try:
        told = process.memory_full_info()
    except (psutil.NoSuchProcess, psutil.AccessDenied, psutil.ZombieProcess):
        return 0
    return int(getattr(told, "pss", told.uss))


def _carried(path: Path) -> int:
    """Bytes as a server sends them: text compressed, fonts as they are."""
    data = path.read_bytes()
    return len(data) if path.suffix == ".woff2" else len(gzip.compress(data, 9))
