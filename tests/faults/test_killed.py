"""Builds that are killed: never half a site, and the next build sets everything right."""

import multiprocessing
import os
import random
import re
import shutil
import subprocess
import sys
import time
from itertools import count
from pathlib import Path

import pytest

from stavewright.site.store import ENVIRONMENT
from stavewright.site.write.marker import is_ours
from tests.faults.dying import KILLED, write, write_until
from tests.site.project import files

OLD = {"index.html": "old", "a/index.html": "same", "b/c/deep.txt": "old", "gone/x.txt": "x"}
NEW = {"index.html": "new", "a/index.html": "same", "b/c/deep.txt": "new", "more/y.txt": "y"}


def texts_in(folder: Path) -> dict[str, str]:
    found = {path: data.decode() for path, data in files(folder).items()}
    found.pop(".stavewright", None)
    return found


def standing(site: Path) -> dict[str, str]:
    """The site, which for the moment between two renames stands beside its place.

    Then the new one stands there too, and both are whole.
    """
    if not site.exists():
        (building,) = site.parent.glob(".site.building-*")
        site = building.with_name(building.name.replace("building", "previous"))
    return texts_in(site)


def spares(site: Path) -> list[Path]:
    return list(site.parent.glob(".site.*"))


EARLIER = {"index.html": "old", "a/index.html": "same", "gone": "y", "b/c/deep.txt": "old"}
BEFORE = {
    "none": [OLD],
    "same": [OLD],
    "one": [OLD | {"index.html": "older"}, OLD],
    "another": [EARLIER, OLD],
}
"""Sites that are written before; their spare is lost, or is near to the next site or far."""


@pytest.mark.parametrize("spare", BEFORE)
@pytest.mark.parametrize("stride", [4, pytest.param(1, marks=pytest.mark.slow)])
def test_a_kill_at_any_step_leaves_a_whole_site(tmp_path: Path, stride: int, spare: str) -> None:
    processes = multiprocessing.get_context("forkserver")
    processes.set_forkserver_preload(["tests.faults.dying"])
    for step in count(0, stride):
        site = tmp_path / str(step) / "site"
        for texts in BEFORE[spare]:
            write(texts, site)
        (standby,) = spares(site)
        if spare == "none":
            shutil.rmtree(standby)
        process = processes.Process(target=write_until, args=(step, NEW, site))
        process.start()
        process.join()
        assert standing(site) in (OLD, NEW), step
        write(NEW, site)
        assert texts_in(site) == NEW, step
        assert len(spares(site)) <= 1, step
        for left in spares(site):
            assert ".previous-" in left.name
            assert is_ours(left)
        # Whatever is left is of use to the next, and changes nothing in what it gives.
        write(OLD, site)
        assert texts_in(site) == OLD, step
        if process.exitcode != KILLED:
            assert process.exitcode == 0
            break
    assert step > 40


def without_music(project: Path) -> Path:
    """The project with nothing to engrave, which builds in a third of the time."""
    for path in (project / "content").rglob("*.md"):
        path.write_text(_MUSIC.sub("", path.read_text("utf-8")), encoding="utf-8")
    return project


_MUSIC = re.compile(r"^```music\n.*?^```\n", re.MULTILINE | re.DOTALL)
WORDS = ("sixth", "seventh")


def exchange(project: Path, old: str, new: str) -> None:
    """Put one word for another throughout; it stands on several pages."""
    for path in (project / "content").rglob("*.md"):
        path.write_text(path.read_text("utf-8").replace(old, new), encoding="utf-8")


def wholes_of(project: Path) -> list[dict[str, bytes]]:
    """The site as it is built at leisure, with either word; the second is left in the content."""
    made = []
    for old, new in (reversed(WORDS), WORDS):
        exchange(project, old, new)
        assert build(project, "--store", "none", "--output", "look").wait() == 0
        made.append(files(project / "look"))
    assert made[0] != made[1]
    return made


def build(project: Path, *options: str) -> "subprocess.Popen[bytes]":
    return subprocess.Popen(
        [sys.executable, "-m", "stavewright", "build", "--workers", "1", *options],
        cwd=project,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env={**os.environ, ENVIRONMENT: str(project / "stores")},
    )


@pytest.mark.parametrize(
    ("kills", "music"), [(3, False), pytest.param(50, True, marks=pytest.mark.slow)]
)
def test_a_build_that_is_killed_at_any_moment(project: Path, kills: int, music: bool) -> None:
    wholes = wholes_of(project if music else without_music(project))
    begun = time.monotonic()
    assert build(project).wait() == 0
    length = time.monotonic() - begun
    dice = random.Random(kills)
    for kill in range(kills):
        word = kill % 2
        exchange(project, WORDS[1 - word], WORDS[word])
        process = build(project)
        time.sleep(dice.uniform(0, length))
        process.kill()
        process.wait()
        site = project / "site"
        if not site.exists():
            (building,) = project.glob(".site.building-*")
            site = building.with_name(building.name.replace("building", "previous"))
        assert files(site) in wholes, kill
        if kill % 10 == 9 or kill == kills - 1:
            assert build(project).wait() == 0
            assert files(project / "site") == wholes[word], kill
            assert len(spares(project / "site")) <= 1


def test_two_builds_at_once(project: Path) -> None:
    wholes = wholes_of(without_music(project))
    for _ in range(2):
        both = [build(project), build(project)]
        assert [process.wait() for process in both] == [0, 0]
        assert files(project / "site") == wholes[1]
    assert len(spares(project / "site")) <= 1
