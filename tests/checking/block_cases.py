"""Reads music blocks and what is expected of them from text files a musician can read.

A case opens with `== title`; the block follows as written. A line `-> rule severity line:col-end`,
with ` | suggestion` after it where there is one, names one expected finding; columns count within
the block. A case without such lines expects none. `//` at the top of a file names its sources.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True, slots=True)
class BlockCase:
    title: str
    text: str
    expected: tuple[str, ...]
    place: str


def read_blocks(path: Path) -> list[BlockCase]:
    found: list[BlockCase] = []
    for part in ("\n" + path.read_text(encoding="utf-8")).split("\n== ")[1:]:
        title, *lines = part.splitlines()
        expected = tuple(line.removeprefix("-> ") for line in lines if line.startswith("-> "))
        block = [line for line in lines if line.strip() and not line.startswith("-> ")]
        found.append(BlockCase(title.strip(), "\n".join(block), expected, path.name))
    titles = [case.title for case in found]
    if not found or len(set(titles)) < len(titles):
        raise ValueError(f"{path.name}: no cases, or a title is used twice")
    return found


def block_cases(folder: Path) -> list[BlockCase]:
    return [case for path in sorted(folder.glob("*.txt")) for case in read_blocks(path)]


def block_params(folder: Path) -> list[object]:
    return [pytest.param(case, id=f"{case.place}: {case.title}") for case in block_cases(folder)]
