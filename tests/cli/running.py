"""Running commands: in this process, or as a shell does."""

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

SMALL = Path(__file__).parent.parent / "site" / "small"


@dataclass(frozen=True)
class Run:
    """What a command did."""

    code: int
    out: str
    err: str


Command = Callable[..., Run]


def edit(path: str, old: str, new: str) -> None:
    text = Path(path).read_text("utf-8")
    assert old in text
    Path(path).write_text(text.replace(old, new), encoding="utf-8")


def spawn(*arguments: str, folder: Path, **environment: str) -> "subprocess.CompletedProcess[str]":
    """Run a command as its own process, as a shell does."""
    return subprocess.run(
        [sys.executable, "-m", "stavewright", *arguments],
        cwd=folder,
        capture_output=True,
        text=True,
        env={**os.environ, **environment},
        check=False,
    )
