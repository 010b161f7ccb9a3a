"""Every case of tests/notation/cases: what it means, and what else must hold of any block."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from stavewright.notation import Block, parse_block, print_score
from stavewright.notation.realise import realise
from stavewright.notation.source import SourceLine, SourceText, Span

from .block_files import (
    CASES,
    EXAMPLES,
    REWRITE,
    BlockCase,
    all_cases,
    parameters,
    read_file,
    rewrite,
)
from .summary import summary

if TYPE_CHECKING:
    from stavewright.notation.finding import Finding

ALLOWED_RULES = {"syntax", "chord-symbol", "numeral-symbol", "key-unknown"}
EXAMPLE_FILES = sorted(EXAMPLES.glob("*.music"))


@pytest.mark.skipif(not REWRITE, reason="expectations are rewritten on request only")
def test_rewrite() -> None:
    for path in CASES.glob("*.txt"):
        cases = read_file(path)
        rewrite(path, {case.title: summary(parse_block(case.source)) for case in cases})


@pytest.mark.parametrize("case", parameters())
def test_meaning(case: BlockCase) -> None:
    assert summary(parse_block(case.source)) == case.expected


@pytest.mark.parametrize("case", parameters())
def test_printed_again(case: BlockCase) -> None:
    score = parse_block(case.source).score
    text = print_score(score)
    again = parse_block(text).score
    assert again == score
    assert print_score(again) == text, "the canonical text is canonical"


@pytest.mark.parametrize("case", parameters())
def test_findings_are_placed(case: BlockCase) -> None:
    block = parse_block(case.source)
    lines = case.source.split("\n")
    for found in block.findings:
        span = found.span
        assert found.rule in ALLOWED_RULES
        assert 1 <= span.line <= len(lines)
        assert 1 <= span.column <= span.end_column <= len(lines[span.line - 1]) + 1
        assert found.message[0].isupper() or not found.message[0].isalpha()
        assert not found.message.endswith(".")


@pytest.mark.parametrize("case", parameters())
def test_suggestions_help(case: BlockCase) -> None:
    """A suggestion, pasted over its span, makes its finding go away."""
    for found in parse_block(case.source).findings:
        if found.suggestion is not None:
            mended = parse_block(_pasted(case.source, found))
            assert not _still_there(found, mended), (found, _pasted(case.source, found))


def _pasted(source: str, found: Finding) -> str:
    lines = source.split("\n")
    line = lines[found.span.line - 1]
    start, end = found.span.column - 1, found.span.end_column - 1
    lines[found.span.line - 1] = line[:start] + (found.suggestion or "") + line[end:]
    return "\n".join(lines)


def _still_there(found: Finding, block: Block) -> bool:
    return any(
        (other.rule, other.message, other.span.line, other.span.column)
        == (found.rule, found.message, found.span.line, found.span.column)
        for other in block.findings
    )


@pytest.mark.parametrize("case", parameters())
def test_other_line_ends_and_indents(case: BlockCase) -> None:
    plain = parse_block(case.source)
    assert parse_block(case.source.replace("\n", "\r\n")).score == plain.score
    moved = _indented(case.source)
    assert moved.score == plain.score
    places = [(f.span.line - 10, f.span.column - 4, f.message) for f in moved.findings]
    assert places == [(f.span.line, f.span.column, f.message) for f in plain.findings]


def _indented(source: str) -> Block:
    """The same block inside a list item: its lines begin at line 11, column 5 of their file."""
    lines = tuple(SourceLine(text, n + 11, 5) for n, text in enumerate(source.split("\n")))
    return parse_block(SourceText("article.md", lines, Span("article.md", 10, 5, 13)))


def test_cut_short_anywhere() -> None:
    """A block that is still being typed gives a Score and placed findings, whatever is missing."""
    for _, case in all_cases():
        for length in range(0, len(case.source), 3):
            cut = case.source[:length]
            block = parse_block(cut)
            for found in block.findings:
                line = cut.split("\n")[found.span.line - 1]
                assert found.span.end_column <= len(line) + 1, (case.title, cut, found)
            realise(block.score)


@pytest.mark.parametrize("path", EXAMPLE_FILES, ids=lambda path: path.stem)
def test_handbook_examples(path) -> None:
    block = parse_block(path.read_text(encoding="utf-8"), path.name)
    assert block.findings == ()
    assert parse_block(print_score(block.score)).findings == ()
    assert parse_block(print_score(block.score)).score == block.score


def test_all_eight_examples_stand() -> None:
    assert len(EXAMPLE_FILES) == 8
