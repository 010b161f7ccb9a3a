"""Reads files of many music blocks with what each should mean.

    ### a title, unique in its file
    notes: 1/4 C4
    -->
    what `summary` makes of it

With the environment variable STAVEWRIGHT_REWRITE set, the tests write what they find in place of
what stands there, for an editor to read through.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import pytest

CASES = Path(__file__).parent / "cases"
EXAMPLES = Path(__file__).parent / "examples"
REWRITE = bool(os.environ.get("STAVEWRIGHT_REWRITE"))


@dataclass(frozen=True)
class BlockCase:
    title: str
    source: str
    expected: str
    line: int


def read_file(path: Path) -> list[BlockCase]:
    found: list[BlockCase] = []
    text = path.read_text(encoding="utf-8")
    line = text.split("### ")[0].count("\n") + 1
    for part in text.split("### ")[1:]:
        head, _, body = part.partition("\n")
        source, _, expected = body.partition("\n-->\n")
        found.append(BlockCase(head, source, expected.strip("\n"), line))
        line += part.count("\n")
    titles = [case.title for case in found]
    if not found or len(set(titles)) != len(titles) or not all(titles):
        raise ValueError(f"{path.name}: no cases, or a title is missing or used twice")
    return found


def all_cases(pattern: str = "*.txt") -> list[tuple[str, BlockCase]]:
    return [(path.name, case) for path in sorted(CASES.glob(pattern)) for case in read_file(path)]


def parameters(pattern: str = "*.txt") -> list[object]:
    return [
        pytest.param(case, id=f"{name}:{case.line} {case.title}")
        for name, case in all_cases(pattern)
    ]


def rewrite(path: Path, expected: dict[str, str]) -> None:
    text = path.read_text(encoding="utf-8")
    head = text.split("### ")[0]
    parts = [
        f"### {case.title}\n{case.source}\n-->\n{expected[case.title]}\n"
        for case in read_file(path)
    ]
    path.write_text(head + "\n".join(parts), encoding="utf-8")
