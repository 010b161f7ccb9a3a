"""Builds on a disk that is full, with a store that is damaged or gone, under a clock that jumps."""

import os
import random
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from stavewright.site.making.workshop import Workshop
from stavewright.site.pipeline import BuildReport, Options, Tools, build
from stavewright.site.progress import Silent
from stavewright.site.store import Store, store_file
from tests.cli.running import spawn
from tests.site.project import files


@pytest.fixture(scope="module")
def makers() -> Iterator[Workshop]:
    with Workshop(1) as workshop:
        yield workshop


Build = Callable[..., BuildReport]


@pytest.fixture
def again(project: Path, makers: Workshop, monkeypatch: pytest.MonkeyPatch) -> Build:
    """Build the project as a new process would, with the store in `stores/`."""

    def run(progress: Silent | None = None) -> BuildReport:
        with Store.open(store_file(Path("content"), "stores")) as store:
            tools = replace(Tools(makers, store=store), progress=progress or Silent())
            return build(Path("content"), Path("site"), Options(), tools)

    monkeypatch.chdir(project)
    return run


def test_a_disk_that_fills_up_leaves_the_old_site(small_disk: Path, project: Path) -> None:
    site = small_disk / "site"
    options = ("--output", str(site), "--workers", "1")
    assert spawn("build", *options, folder=project).returncode == 0
    whole = files(site)
    (project / "content" / "picture.bin").write_bytes(bytes(3 << 20))
    run = spawn("build", *options, folder=project)
    assert run.returncode == 2
    assert run.stderr.startswith("stavewright: No space left on device")
    assert run.stderr.count("\n") == 1
    assert files(site) == whole
    assert [path.name for path in small_disk.iterdir()] == ["site"]
    (project / "content" / "picture.bin").unlink()
    assert spawn("build", *options, folder=project).returncode == 0
    assert files(site) == whole


def test_a_store_on_a_full_disk_costs_one_notice(small_disk: Path, project: Path) -> None:
    with pytest.raises(OSError, match="No space left"):
        (small_disk / "filling").write_bytes(bytes(3 << 20))
    options = ("--store", str(small_disk / "stores"), "--workers", "1")
    run = spawn("build", *options, folder=project)
    assert run.returncode == 0
    assert run.stderr.count("\n") == 1
    assert "The site is not affected" in run.stderr
    assert (project / "site" / "index.html").is_file()


@pytest.mark.parametrize("seed", range(4))
def test_no_damage_to_the_store_shows_in_the_site(again: Build, seed: int) -> None:
    again()
    whole = files(Path("site"))
    shutil.rmtree("site")
    (store,) = Path("stores").glob("*.store")
    data = bytearray(store.read_bytes())
    dice = random.Random(seed)
    for _ in range(10 ** (seed + 1)):
        data[dice.randrange(len(data))] = dice.randrange(256)
    store.write_bytes(data)
    report = again()
    assert report.findings == ()
    assert files(Path("site")) == whole
    # What was read before the damage was met is not in the store that took its place.
    again()
    assert again().articles == 0


class Meddling(Silent):
    """Does something when a stage begins."""

    def __init__(self, stage: str, act: Callable[[], None]) -> None:
        self._stage = stage
        self._act = act

    def stage(self, name: str, steps: int) -> None:
        """See `Progress`."""
        super().stage(name, steps)
        if name == self._stage:
            self._act()


@pytest.mark.parametrize("stage", ["read", "make", "write"])
def test_a_store_that_is_deleted_while_building_is_no_harm(again: Build, stage: str) -> None:
    again()
    whole = files(Path("site"))
    shutil.rmtree("site")
    again(Meddling(stage, lambda: shutil.rmtree("stores")))
    assert files(Path("site")) == whole
    again()
    assert files(Path("site")) == whole


@pytest.mark.parametrize("when", [1, 2**62], ids=["1970", "the year 2116"])
def test_the_time_of_a_file_says_nothing(again: Build, when: int) -> None:
    again()
    for path in [*Path("content").rglob("*"), *Path("site").rglob("*")]:
        os.utime(path, ns=(when, when))
    again()
    page = Path("site/answers/minor/index.html")
    before = page.read_bytes()
    article = Path("content/answers/minor.md")
    text = article.read_text("utf-8")
    assert "sixth" in text
    article.write_text(text.replace("sixth", "fifth"), encoding="utf-8")
    os.utime(article, ns=(when, when))
    again()
    assert page.read_bytes() == before.replace(b"sixth", b"fifth")
    assert again().articles == 0
