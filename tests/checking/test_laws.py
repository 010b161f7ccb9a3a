"""Laws of the checks: nothing raises, nothing depends on the key a block stands in."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.checking.check import check_block
from stavewright.checking.claims import check_claim
from stavewright.checking.registry import LISTENING_RULES
from stavewright.notation import Block, parse_block
from stavewright.notation.claims import parse_claim
from stavewright.notation.finding import Severity
from stavewright.theory import Interval, Key, Pitch
from tests.checking.block_cases import BlockCase, block_cases, block_params
from tests.checking.test_blocks import found_in, pasted

if TYPE_CHECKING:
    from stavewright.notation.score import Event, Head, Score

BLOCKS = Path(__file__).parent / "data" / "blocks"
FOLLOWING = {"key-spelling", "numeral-label"}
"""Rules that may have more to say once a key or a numeral can be read at all."""
HARMONY = LISTENING_RULES - {"bar-length", "syllables", "tie"}

pitches = st.builds(
    "{}{}{}".format,
    st.sampled_from("CDEFGAB"),
    st.sampled_from(("", "", "", "#", "b", "##", "bb", "(-50)")),
    st.integers(1, 6),
)
events = st.builds(
    "{}{}{}".format,
    st.lists(pitches, min_size=1, max_size=4).map("&".join) | st.just("rest"),
    st.sampled_from(("", "", "", "_", '"root"', '"perfect fifth"', '"leading tone"')),
    st.just(""),
)
values = st.sampled_from(("1/1", "1/2", "1/4", "1/8", "3/8", "1/16"))
groups = st.builds("3:2(1/8 {} {} {})".format, events, events, events)
voice_bars = st.lists(
    st.builds("{} {}".format, values, events) | groups, min_size=1, max_size=6
).map(" ".join)
chords = st.sampled_from(
    (
        *("C", "Cm", "C7", "Cmaj7", "Dm7", "F#m7b5", "Bb/D", "G7", "Gsus4", "Abdim7", "E7#9"),
        *("A13", "C6/9", "F/G", "Bbb7", "(D)/(C7)", "Cadd9", "rest"),
    )
)
numerals = st.sampled_from(
    (
        *("I", "i", "ii", "V", "V7", "V65", "viio7", "iv", "N6", "Ger65", "It6", "Cad64"),
        *("V(4-3)", "V7/V", "bVI", "I7", "vii", "key(G major)", "rest"),
    )
)
keys = st.sampled_from(("C major", "A minor", "G# major", "Db dorian", "F# minor", "no key"))


def _lines(word: str, bars: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.lists(bars, min_size=1, max_size=4).map(lambda each: f"{word}: {' | '.join(each)}")


blocks = st.builds(
    lambda key, time, lines: "\n".join([f"key: {key}", *time, *lines]),
    keys,
    st.sampled_from(([], ["time: 4/4"], ["time: 6/8"], ["time: 2+3/8", "pickup: 1/8"])),
    st.tuples(
        st.just("staves: treble(right alto) bass(bass)"),
        _lines("right", voice_bars),
        _lines("alto", voice_bars),
        _lines("bass", voice_bars),
        _lines("chords", st.lists(chords, min_size=1, max_size=3).map(" ".join)),
        _lines("numerals", st.lists(numerals, min_size=1, max_size=3).map(" ".join)),
        st.just("words: A- men . so"),
    ),
)
"""Blocks that the parser mostly reads, and that mean nothing in particular."""


@settings(max_examples=80, deadline=None)
@given(blocks)
def test_any_block_gives_findings_inside_it(text: str) -> None:
    lines = text.split("\n")
    for finding in check_block(parse_block(text)):
        span = finding.span
        assert 1 <= span.line <= len(lines)
        assert 1 <= span.column <= span.end_column <= len(lines[span.line - 1]) + 1
        assert finding.message
        assert finding.suggestion != lines[span.line - 1][span.column - 1 : span.end_column - 1]


@settings(max_examples=60, deadline=None)
@given(blocks)
def test_any_suggestion_mends_what_it_is_for(text: str) -> None:
    # The parser's suggestions are held to this in its own room.
    found = [f for f in check_block(parse_block(text)) if f.rule != "syntax"]
    for finding in [f for f in found if f.suggestion is not None][:6]:
        left = check_block(parse_block(pasted(text, finding)))
        assert (finding.rule, finding.span) not in [
            (f.rule, replace(f.span, end_column=finding.span.end_column)) for f in left
        ], finding


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60))
def test_any_text_is_checked(text: str) -> None:
    check_block(parse_block(text))
    claim = parse_claim(f"chord: {text}")
    if claim is not None:
        check_claim(claim)


@pytest.mark.parametrize("case", block_params(BLOCKS))
@pytest.mark.parametrize("short", ["m3", "-M2", "A1"])
def test_transposed_block_is_judged_alike(case: BlockCase, short: str) -> None:
    block = parse_block(case.text)
    moved = replace(block, score=_transposed(block.score, Interval.parse(short)))
    assert _judged(moved) == _judged(block)


@pytest.mark.parametrize("case", block_params(BLOCKS))
def test_pasting_every_suggestion_mends_the_block(case: BlockCase) -> None:
    """Twice, as a key put right may ask for other names of its notes."""
    once = _all_pasted(case.text)
    twice = _all_pasted(once)
    assert [f.message for f in found_in(twice) if f.suggestion is not None] == []
    # Advice is left aside: one voice-leading may be worth another remark than the one before.
    firm = {f.rule for f in found_in(once) if f.severity is not Severity.ADVICE}
    assert firm <= {f.rule for f in found_in(case.text)} | FOLLOWING


@pytest.mark.parametrize("case", block_cases(BLOCKS), ids=lambda case: case.title)
def test_same_block_gives_same_findings(case: BlockCase) -> None:
    assert check_block(parse_block(case.text)) == check_block(parse_block(case.text))


def _all_pasted(text: str) -> str:
    """The text with every suggestion in its place, from the end so that no place moves."""
    offered = [finding for finding in found_in(text) if finding.suggestion is not None]
    places: set[tuple[int, int]] = set()
    for finding in sorted(offered, key=lambda each: each.sort_key, reverse=True):
        span = finding.span
        covered = {(span.line, column) for column in range(span.column, span.end_column)}
        if not covered & places:
            places |= covered
            text = pasted(text, finding)
    return text


def _judged(block: Block) -> list[tuple[str, str, int, int]]:
    return [
        (finding.rule, finding.severity.value, finding.span.line, finding.span.column)
        for finding in check_block(block)
        if finding.rule in HARMONY
    ]


def _transposed(score: Score, interval: Interval) -> Score:
    """Every pitch, key and chord moved, letter for letter; numerals keep their names."""

    def key(old: Key) -> Key:
        return Key(old.tonic + interval, old.mode)

    def event(old: Event) -> Event:
        return replace(old, heads=tuple(head(each) for each in old.heads))

    def head(old: Head) -> Head:
        return replace(old, sound=old.sound + interval) if isinstance(old.sound, Pitch) else old

    return replace(
        score,
        key=key(score.key) if score.key else None,
        key_changes=tuple(replace(each, key=key(each.key)) for each in score.key_changes),
        voices=tuple(
            replace(voice, events=tuple(event(each) for each in voice.events))
            for voice in score.voices
        ),
        chords=tuple(
            replace(each, chord=each.chord.transposed(interval) if each.chord else None)
            for each in score.chords
        ),
        numerals=tuple(
            replace(
                each,
                key=key(each.key) if each.key else None,
                pivot_key=key(each.pivot_key) if each.pivot_key else None,
            )
            for each in score.numerals
        ),
    )
