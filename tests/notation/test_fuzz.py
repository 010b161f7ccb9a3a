"""Laws for any text: a Score and placed findings, never an exception, never a hang."""

from __future__ import annotations

import time

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from stavewright.notation import parse_block, parse_claim, print_score
from stavewright.notation.limits import MOST_BARS
from stavewright.notation.realise import realise

from .block_files import all_cases

PIECES = [line for _, case in all_cases() for line in case.source.split("\n")]
WORDS = sorted({word for line in PIECES for word in line.split()})
HEADS = sorted({line.split(":")[0] + ":" for line in PIECES if ":" in line})

lines_of_words = st.builds(
    lambda head, words: " ".join([head, *words]),
    st.sampled_from(HEADS),
    st.lists(st.sampled_from(WORDS), max_size=12),
)
blocks_of_words = st.lists(lines_of_words, max_size=6).map("\n".join)
"""Text of the right shape and any meaning."""
shuffled_lines = st.lists(st.sampled_from(PIECES), max_size=8).map("\n".join)
SIGNS = list(' \n|:()"_&@.*/#b0123456789CDEFG\t\r\0')
odd_text = st.text(
    alphabet=st.characters(codec="utf-8")
    | st.sampled_from(list(' \n|:()"_&@.*/#b0123456789CDEFG\t\r\0'))
)

QUICK = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def check(text: str) -> None:
    block = parse_block(text)
    lines = text.split("\n")
    for found in block.findings:
        span = found.span
        assert 1 <= span.line <= len(lines)
        assert 1 <= span.column <= span.end_column <= len(lines[span.line - 1]) + 1
    assert parse_block(print_score(block.score)).score == block.score
    realise(block.score)


@settings(QUICK, max_examples=600)
@given(blocks_of_words)
def test_words_in_any_order(text: str) -> None:
    check(text)


@QUICK
@given(shuffled_lines)
def test_lines_in_any_order(text: str) -> None:
    check(text)


@QUICK
@given(odd_text)
def test_any_text(text: str) -> None:
    check(text)
    check(f"notes: {text}")
    check(f"chords: {text}")


@QUICK
@given(odd_text | blocks_of_words)
@example("chord: F7 = ")
@example("rhythm: 1/0 = 9/9999999")
def test_any_claim(text: str) -> None:
    for claim_text in (text, *(f"{noun}: {text}" for noun in ("note", "key", "chord", "rhythm"))):
        claim = parse_claim(claim_text)
        if claim is None or claim.problem is None:
            continue
        lines = claim_text.split("\n")
        span = claim.problem.span
        assert 1 <= span.column <= span.end_column <= len(lines[span.line - 1]) + 1


# Each of these is one that a careless reader takes long over, or falls over.
HOSTILE = {
    "many notes": "time: 4/4\nnotes: 1/4 " + "C4 D4 E4 F4 | " * 20_000,
    "many opening brackets": "notes: " + "slur(" * 50_000,
    "many closing brackets": "notes: C4" + ")" * 50_000,
    "many quotes": "notes: " + '"' * 50_000,
    "many slashes": "notes: " + " /" * 50_000,
    "one long word": "notes: " + "C" * 100_000,
    "many flats": "notes: C" + "b" * 100_000 + "4",
    "a long number": "notes: " + "9" * 100_000 + "/4 C4",
    "a chord of many notes": "notes: " + "C4&" * 20_000 + "D4",
    "many lines": "notes: C4\n" * 20_000,
    "many continuation lines": "notes: C4\n" + " D4\n" * 20_000,
    "many bars": "notes: C4 " + "| " * 50_000,
    "many words": "notes: C4\nwords: " + "la " * 50_000,
    "many symbols": "chords: " + "C " * 50_000,
    "a bracket in a symbol": "chords: C" + "(" * 50_000,
    "many staves": "staves: " + "treble(a) " * 5_000,
    "many pivots": "numerals: I " + "key(G major)=ii " * 20_000,
    "many graces": "notes: grace(" + "C4 " * 50_000 + ") D4",
    "a bar of groups over many bars": "notes: 3:2(" + "C4 | " * 20_000,
    "many times the same": "notes: C4 | " + "same(500) | " * 5_000,
    "nothing but nulls": "\0" * 50_000,
    "many accepts": "accept: tie because x\n" * 10_000,
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_hostile_text_is_read_in_time(text: str) -> None:
    started = time.process_time()
    block = parse_block(text)
    # Far more than the slowest takes on a slow machine; a quadratic reader would need minutes.
    assert time.process_time() - started < 10
    assert len(block.findings) <= 200
    assert len(block.score.bars) <= MOST_BARS


def test_bars_are_limited_with_a_message() -> None:
    block = parse_block("notes: C4 | same(500)")
    assert [found.message for found in block.findings] == ["A block has at most 500 bars"]
    assert len(block.score.bars) == 500


def test_crlf_and_nul_and_byte_order() -> None:
    score = parse_block("time: 2/4\r\nnotes: 1/4 C4 D4\r\n").score
    assert len(score.voices[0].events) == 2
    assert parse_block("notes: C4\0D4").findings[0].span.column == 8
