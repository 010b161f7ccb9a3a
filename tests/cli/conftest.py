"""A project to run commands in, and a way to run them."""

import shutil
import sys
from pathlib import Path

import pytest

from stavewright import cli
from tests.cli.running import SMALL, Command, Run


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder)
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def stavewright(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Command:
    """Run a command in this process, exceptions and all."""

    def run(*arguments: str) -> Run:
        monkeypatch.setattr(sys, "argv", ["stavewright", *arguments])
        with pytest.raises(SystemExit) as exit_:
            cli.main()
        captured = capsys.readouterr()
        assert isinstance(exit_.value.code, int)
        return Run(exit_.value.code, captured.out, captured.err)

    return run
