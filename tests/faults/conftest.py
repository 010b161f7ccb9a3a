"""What the fault tests share: a disk of two megabytes, and a project to build on it."""

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.site.project import SMALL


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of its own with room for two megabytes; skipped where none may be mounted."""
    folder = tmp_path / "disk"
    folder.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(folder)]
    if shutil.which("mount") is None or subprocess.run(command, capture_output=True).returncode:
        pytest.skip("no small disk can be mounted here, for want of rights")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=True)


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A copy of the small site."""
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder)
    return folder


@pytest.fixture
def unprivileged() -> None:
    """Skip where permissions mean nothing."""
    if os.name != "posix" or os.geteuid() == 0:
        pytest.skip("whoever runs this may read and write everything")
