"""The small site: a copy to work on, and a way to build it."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from stavewright.figures.engraver import Pool
from stavewright.figures.figure import Engraver
from stavewright.site.pipeline import BuildReport, build
from stavewright.site.stages.values import Options
from tests.site.project import SMALL


@pytest.fixture(scope="module")
def engraver() -> Iterator[Engraver]:
    with Pool(1) as pool:
        yield pool


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the small site, with the command running in it."""
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder)
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def make(project: Path, engraver: Engraver) -> Callable[..., BuildReport]:
    """Build the project into `site/`."""

    def run(**options: object) -> BuildReport:
        return build(Path("content"), Path("site"), replace(Options(), **options), engraver)

    assert project.is_dir()
    return run
