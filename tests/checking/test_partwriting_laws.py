"""Laws of part-writing advice: nothing raises, and it speaks only where it is asked."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.checking.check import check_block
from stavewright.checking.harmony import heard_harmony
from stavewright.checking.styles import ADVICE_RULES, STYLES
from stavewright.notation import Block, parse_block
from stavewright.notation.finding import Severity
from stavewright.theory import Chord, PitchName
from tests.checking.block_cases import BlockCase, block_params

BLOCKS = Path(__file__).parent / "data" / "blocks"
CHORDS = ("C", "Cm", "Cdim", "Caug", "C7", "Cmaj7", "Cm7", "Cm7b5", "Cdim7", "CmMaj7")

pitches = st.builds(
    "{}{}{}".format,
    st.sampled_from("CDEFGAB"),
    st.sampled_from(("", "", "", "#", "b", "(-50)")),
    st.integers(2, 5),
)
events = st.builds(
    "{}{}".format,
    st.lists(pitches, min_size=1, max_size=3).map("&".join) | st.just("rest"),
    st.sampled_from(("", "", "", ".fermata", '"subject"', '"answer"', '"codetta"')),
).filter(lambda text: not text.startswith("rest") or text == "rest")
bars = st.lists(events, min_size=4, max_size=4).map(lambda four: "1/4 " + " ".join(four))
lines = st.lists(bars, min_size=2, max_size=2).map(" | ".join)
blocks = st.builds(
    "style: {}\nkey: {}\ntime: 4/4\nstaves: treble(right middle) bass(left)\n"
    "right: {}\nmiddle: {}\nleft: {}".format,
    st.sampled_from(tuple(STYLES)),
    st.sampled_from(("C major", "A minor", "D dorian", "F# minor")),
    lines,
    lines,
    lines,
)
"""Blocks in a style, of chords and single notes, whose bars add up."""


def advice(block: Block) -> list[str]:
    return [each.rule for each in check_block(block) if each.severity is Severity.ADVICE]


@settings(max_examples=80, deadline=None)
@given(blocks)
def test_any_music_in_a_style_is_judged_by_what_the_style_asks(text: str) -> None:
    block = parse_block(text)
    assert block.findings == ()
    lines = text.split("\n")
    for finding in check_block(block):
        assert 1 <= finding.span.column <= len(lines[finding.span.line - 1])
    assert set(advice(block)) <= STYLES[block.score.style or ""].asks


@pytest.mark.parametrize("case", block_params(BLOCKS))
def test_without_a_style_there_is_no_advice_on_part_writing(case: BlockCase) -> None:
    block = parse_block(case.text)
    plain = replace(block, score=replace(block.score, style=None))
    assert not set(advice(plain)) & ADVICE_RULES


@pytest.mark.parametrize("case", block_params(BLOCKS))
def test_counterpoint_says_no_more_than_the_chorale_does(case: BlockCase) -> None:
    block = parse_block(case.text)
    found = {
        style: set(advice(replace(block, score=replace(block.score, style=style))))
        for style in ("counterpoint", "chorale")
    }
    assert found["counterpoint"] <= found["chorale"]


@pytest.mark.parametrize("case", block_params(BLOCKS))
def test_advice_speaks_of_what_a_style_prefers(case: BlockCase) -> None:
    for finding in check_block(parse_block(case.text)):
        if finding.rule in ADVICE_RULES:
            words = f"{finding.message} {finding.reason}"
            assert not re.search(r"illegal|forbidden|wrong|error|must|not allowed|mistake", words)
            assert "chorale writing" in words or "strict counterpoint" in words


@pytest.mark.parametrize("symbol", CHORDS)
@pytest.mark.parametrize("root", ["C", "F#", "Bb", "Eb"])
def test_a_plain_chord_is_heard_as_what_it_is(symbol: str, root: str) -> None:
    chord = Chord.parse(root + symbol[1:])
    harmony = heard_harmony(frozenset(chord.names))
    assert harmony is not None
    assert harmony.root == chord.root
    assert harmony.names == set(chord.names)


def test_two_notes_make_a_chord_only_as_a_third() -> None:
    names = [PitchName.parse(name) for name in ("C", "D", "Eb", "E", "F", "F#", "G", "Ab", "A")]
    for pair in combinations(names, 2):
        low, high = pair
        thirds = [low.interval_to(high).short, high.interval_to(low).short]
        heard = heard_harmony(frozenset(pair))
        assert (heard is not None) == any(short in ("m3", "M3") for short in thirds), pair
