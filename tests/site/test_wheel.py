"""The wheel and the source archive hold all that an author needs, outside the checkout."""

import os
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from pathlib import Path

import pytest

from tests.site.built import broken_references, read_pages

CHECKOUT = Path(__file__).parents[2]

ARTICLES = {
    "answers/one.md": "One",
    "answers/two.md": "Two",
}
TEXT = """\
---
title: {title}
date: 2024-03-02
---

See [one](one.md) and [two](two.md). The chord `chord: A7 = A C# E G` wants to move.

```music
key: D major
time: 4/4
chords: 1/2 D A7 | D
notes: 1/4 F#4 A4 G4 C#5 | 1/1 D5
```
"""


@pytest.fixture(scope="module")
def archives(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The wheel and the source archive, the wheel built from the archive as installers do."""
    folder = tmp_path_factory.mktemp("dist")
    # --no-isolation: the build backend is a test dependency, so that no index has to be asked.
    command = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(folder)]
    run = subprocess.run([*command, str(CHECKOUT)], capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout + run.stderr
    (wheel,) = folder.glob("*.whl")
    (source,) = folder.glob("*.tar.gz")
    return {"wheel": wheel, "source": source}


@pytest.fixture(scope="module")
def stavewright(archives: dict[str, Path], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The command, installed into an empty environment from the wheel alone.

    Its dependencies are those of this environment, seen through a path file; stavewright itself
    must come from the wheel, since an editable install is a path file, which is not read there.
    """
    folder = tmp_path_factory.mktemp("elsewhere") / "venv"
    venv.create(folder, with_pip=False, symlinks=True)
    scripts = Path(sysconfig.get_path("scripts", "venv", {"base": str(folder)}))
    packages = Path(sysconfig.get_path("purelib", "venv", {"base": str(folder)}))
    python = scripts / "python"
    subprocess.run(
        [
            *[sys.executable, "-m", "pip", "--python", str(python), "install", "--quiet"],
            *["--no-deps", "--no-index", "--disable-pip-version-check", str(archives["wheel"])],
        ],
        check=True,
    )
    (packages / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return scripts / "stavewright"


def elsewhere(folder: Path, *command: str) -> "subprocess.CompletedProcess[str]":
    """Run a command away from the checkout, and from any path to it in the environment."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    return subprocess.run(
        command, cwd=folder, env=environment, capture_output=True, text=True, check=False
    )


def test_the_command_comes_from_the_wheel(stavewright: Path, tmp_path: Path) -> None:
    code = "import stavewright; print(stavewright.__file__)"
    run = elsewhere(tmp_path, str(stavewright.with_name("python")), "-c", code)
    assert str(stavewright.parents[1]) in run.stdout


@pytest.mark.parametrize("theme", ["quire", "broadside"])
def test_a_site_of_two_articles_builds_elsewhere(
    stavewright: Path, tmp_path: Path, theme: str
) -> None:
    for path, title in ARTICLES.items():
        file = tmp_path / "content" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(TEXT.format(title=title), encoding="utf-8")
    run = elsewhere(tmp_path, str(stavewright), "build", "--theme", theme)
    assert (run.returncode, run.stderr) == (0, ""), run.stdout + run.stderr
    site = tmp_path / "site"
    pages = read_pages(site)
    assert [page.path for page in pages] == [
        "404.html",
        "answers/one/index.html",
        "answers/two/index.html",
        "index.html",
    ]
    assert [fault for page in pages for fault in page.faults] == []
    assert list(broken_references(site, pages)) == []
    assert "<svg" in (site / "answers/one/index.html").read_text("utf-8")


def test_the_archives_hold_themes_licence_and_types(archives: dict[str, Path]) -> None:
    names = set(zipfile.ZipFile(archives["wheel"]).namelist())
    for needed in (
        "stavewright/py.typed",
        "stavewright/themes/quire/theme.yaml",
        "stavewright/themes/broadside/assets/style.css",
        "stavewright/themes/common/templates/base.html",
        "stavewright/preview/static/preview.js",
        "stavewright/figures/figure.css",
    ):
        assert needed in names
    assert any(name.endswith("licenses/LICENSE") for name in names)
    assert not [name for name in names if name.startswith(("tests", "content"))]
    with tarfile.open(archives["source"]) as archive:
        paths = {name.partition("/")[2] for name in archive.getnames()}
    for needed in ("pyproject.toml", "README.md", "LICENSE", "themes/quire/theme.yaml"):
        assert needed in paths
