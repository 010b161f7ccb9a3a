"""Publishing puts a build without errors into a folder, whole or not at all."""

from pathlib import Path

import pytest

from stavewright.site.errors import CannotRunError, OutputError
from stavewright.site.making.workshop import Workshop
from stavewright.site.publish import publish_site
from stavewright.site.stages.values import Tools
from stavewright.site.write import MARKER
from tests.site.project import edit, files


def test_publishing_puts_a_build_into_the_folder_of_the_settings(
    project: Path, makers: Workshop
) -> None:
    report, target = publish_site(Path("content"), None, None, Tools(makers))
    assert report.written
    assert target == project / "public"
    assert MARKER in files(project / "public")
    good = files(project / "public")
    edit("content/answers/minor.md", "notes: 1/4 F#4", "notes: 1/4 H4")
    report, _ = publish_site(Path("content"), None, None, Tools(makers))
    assert not report.written
    assert files(project / "public") == good


def test_publishing_refuses_a_folder_of_somebody_else(project: Path, makers: Workshop) -> None:
    (project / "public").mkdir()
    (project / "public/thesis.txt").write_text("ten years of work")
    with pytest.raises(OutputError, match="did not make it"):
        publish_site(Path("content"), None, None, Tools(makers))
    assert files(project / "public") == {"thesis.txt": b"ten years of work"}


def test_publishing_needs_to_know_where_to(project: Path, makers: Workshop) -> None:
    edit("content/site.yaml", "publish:\n  folder: ../public\n", "")
    with pytest.raises(CannotRunError, match="publish"):
        publish_site(project / "content", None, None, Tools(makers))
