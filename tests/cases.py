"""Reads test cases from tab-separated files that a musician can read beside the tests.

A file opens with comment lines (`//`) that name the source of its facts, then a line of column
names. The first column is `title`: required and unique, it becomes part of the test's id together
with file and line. An empty cell is an empty string; `\\t` and `\\n` in a cell mean themselves.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from pathlib import Path

Case = dict[str, str]


def rows(path: Path) -> list[tuple[int, Case]]:
    """Read a file's cases: (line number, cells by column name)."""
    found: list[tuple[int, Case]] = []
    columns: list[str] = []
    titles: set[str] = set()
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line or line.startswith("//"):
            continue
        cells = line.split("\t")
        if not columns:
            columns = cells
            continue
        if len(cells) != len(columns):
            raise ValueError(f"{path.name}:{number}: {len(cells)} cells, {len(columns)} columns")
        case = dict(zip(columns, cells, strict=True))
        if not case["title"] or case["title"] in titles:
            raise ValueError(f"{path.name}:{number}: the title is missing or used twice")
        titles.add(case["title"])
        found.append((number, case))
    if not found:
        raise ValueError(f"{path.name}: no cases")
    return found


def cases(path: Path) -> list[object]:
    """Read a file's cases as parameters for `pytest.mark.parametrize`."""
    return [
        pytest.param(case, id=f"{path.name}:{number} {case['title']}")
        for number, case in rows(path)
    ]
