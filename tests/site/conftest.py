"""The small site: a copy to work on, and a way to build it."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from stavewright.site.making.workshop import Workshop
from stavewright.site.pipeline import BuildReport, build
from stavewright.site.stages.values import Options, Tools
from tests.site.project import SMALL


@pytest.fixture(scope="module")
def makers() -> Iterator[Workshop]:
    with Workshop(1) as workshop:
        yield workshop


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the small site, with the command running in it."""
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder)
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def make(project: Path, makers: Workshop) -> Callable[..., BuildReport]:
    """Build the project into `site/`."""

    def run(**options: object) -> BuildReport:
        options_of_test = replace(Options(), **options)
        return build(Path("content"), Path("site"), options_of_test, Tools(makers))

    assert project.is_dir()
    return run
