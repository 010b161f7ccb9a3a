"""Every feature of both formats that is carried over or left, each in a file of a few notes."""

from __future__ import annotations

import pytest

from stavewright.checking import check_block
from stavewright.notation import parse_block, print_score
from stavewright.notation.finding import Severity
from tests.importing.case_files import REWRITE, Case, read, result, rewrite

FILES = ("musicxml.txt", "mei.txt")


def _parameters() -> list[object]:
    return [
        pytest.param(name, case, id=f"{name}:{case.line} {case.title}")
        for name in FILES
        for case in read(name)
    ]


@pytest.mark.parametrize("name", FILES)
def test_expected_blocks_are_rewritten_only_when_asked(name: str) -> None:
    if REWRITE:
        rewrite(name, {case.title: result(case, name) for case in read(name)})
    assert all(case.expected for case in read(name))


@pytest.mark.parametrize(("name", "case"), _parameters())
def test_a_small_score_becomes_this_block(name: str, case: Case) -> None:
    assert result(case, name) == case.expected


@pytest.mark.parametrize(("name", "case"), _parameters())
def test_what_comes_out_is_canonical_and_without_errors(name: str, case: Case) -> None:
    del name
    if case.expected.startswith("cannot: "):
        return
    block = parse_block(case.expected)
    text = "\n".join(x for x in case.expected.split("\n") if not x.startswith("//"))
    assert print_score(block.score) == text
    errors = [f for f in check_block(block) if f.severity is Severity.ERROR]
    assert not errors
