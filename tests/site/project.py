"""The small site in `small/`, and what tests do to a copy of it."""

from collections.abc import Callable
from pathlib import Path

from stavewright.site.pipeline import BuildReport

SMALL = Path(__file__).parent / "small"
ROOT = "/music/"
"""The path of its address on its host."""

Make = Callable[..., BuildReport]
"""Builds the copy that the test stands in, with the options named."""


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def edit(path: str, old: str, new: str) -> None:
    text = Path(path).read_text("utf-8")
    assert old in text
    Path(path).write_text(text.replace(old, new), encoding="utf-8")
