"""What our own exporters wrote comes back: the golden blocks, and blocks made at random.

The blocks are those that the figures and the language are tested with. What a format has no place
for is taken away from both sides first, each thing with its reason; the rest must be equal.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.figures.mei import Sheet, document, fault_in
from stavewright.figures.musicxml import is_mixed, musicxml_file
from stavewright.importing import import_excerpt
from stavewright.notation import parse_block, print_score
from stavewright.theory import NoteValue, TheoryError
from stavewright.theory.note_value import split
from tests.strategies import printed_keys

if TYPE_CHECKING:
    from stavewright.notation.score import Bar, Event, Head, Score, VoiceBar

_TESTS = Path(__file__).parent.parent
_FILES = sorted(
    [
        *(_TESTS / "figures" / "constructs").glob("*.music"),
        *(_TESTS / "notation" / "examples").glob("*.music"),
    ]
)
OTHERWISE = {
    # A bare note head has no length in either format, and comes back as a quarter.
    "bare-heads": "both",
    "quarter-scale": "both",
    "quarter-tones": "both",
    # A bar that is too full comes back with a metre that it fits.
    "overfull": "both",
    # Cents that are no quarter tones are printed as text beside the nearest sign.
    "many-signs": "both",
    # Our MEI is what the engraver draws: the voices of a kit written on two stems.
    "drums": "mei",
    "groove": "mei",
}
"""Blocks that come back otherwise: `musicxml`, `mei` or `both`, each for the reason above it."""


def _plain_head(head: Head) -> Head:
    """Without a label, an emphasis and a shift."""
    return replace(head, emphasised=False, shift=None, label=None)


def _plain_event(event: Event) -> Event:
    graces = tuple(
        replace(grace, label=None, heads=tuple(map(_plain_head, grace.heads)))
        for grace in event.graces
    )
    return replace(event, label=None, heads=tuple(map(_plain_head, event.heads)), graces=graces)


def _valued(figures: VoiceBar, bar: Bar) -> VoiceBar:
    return replace(figures, length=bar.length)


def plain(score: Score, *, keyless: bool = False) -> str:
    """A score as text without what no exporter writes; in MEI a key is guessed where there is none.

    `keyless` is for a score without a key, and for what came back of it.
    """
    voices = tuple(
        replace(voice, events=tuple(map(_plain_event, voice.events))) for voice in score.voices
    )
    bare = replace(
        score,
        voices=voices,
        caption=None,
        show=(),
        style=None,
        tuning=None,
        strings=(),
        accepts=(),
        chords=tuple(
            replace(each, label=None, text=each.chord.symbol if each.chord else "")
            for each in score.chords
        ),
        numerals=tuple(replace(each, label=None) for each in score.numerals),
        # Figures that follow the notes come back with the values of those notes.
        bass_figure_bars=tuple(map(_valued, score.bass_figure_bars, score.bars)),
    )
    if keyless:
        bare = replace(bare, key=None)
    return print_score(bare)


@pytest.mark.parametrize("form", ["musicxml", "mei"])
@pytest.mark.parametrize("path", _FILES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_an_exported_block_comes_back(path: Path, form: str) -> None:
    score = parse_block(path.read_text("utf-8")).score
    if not score.voices or is_mixed(score) or fault_in(score) is not None:
        return
    if OTHERWISE.get(path.stem) in (form, "both"):
        return
    data = (
        musicxml_file(Sheet.of(score)) if form == "musicxml" else document(Sheet.of(score)).encode()
    )
    found = import_excerpt(data)
    back = parse_block(found.text)
    assert not back.findings
    keyless = form == "mei" and score.key is None
    assert plain(back.score, keyless=keyless) == plain(score, keyless=keyless)


@pytest.mark.parametrize("name", OTHERWISE)
def test_what_comes_back_otherwise_comes_back_readable(name: str) -> None:
    paths = [path for path in _FILES if path.stem == name]
    assert paths
    for path in paths:
        score = parse_block(path.read_text("utf-8")).score
        for data in (musicxml_file(Sheet.of(score)), document(Sheet.of(score)).encode()):
            back = parse_block(import_excerpt(data).text)
            assert not back.findings
            assert len(back.score.bars) == len(score.bars)


_PITCHES = st.builds(
    "{}{}{}".format, st.sampled_from("CDEFGAB"), st.sampled_from(("", "#", "b")), st.integers(3, 6)
)
_TUPLETS = st.sampled_from(("3:2", "5:4", "6:4", "7:4", "3:4"))


@st.composite
def _bars(draw: st.DrawFn) -> str:
    """A bar of 4/4: plain and dotted notes, chords, rests, whole groups in a ratio."""
    words: list[str] = []
    left = Fraction(1)
    while left > 0:
        if left >= Fraction(1, 2) and draw(st.integers(0, 3)) == 0:
            words.append(_group(draw))
            left -= Fraction(1, 4) if not words[-1].startswith("3:4") else Fraction(1, 2)
            continue
        value = draw(st.sampled_from((1, 2, 4, 8, 16)))
        length = min(Fraction(1, value), left)
        if draw(st.booleans()) and length * 3 / 2 <= left:
            length = length * 3 / 2
        length = _shape(length)
        words.append(f"{length.numerator}/{length.denominator} {draw(_sounds())}")
        left -= length
    return " ".join(words)


def _shape(length: Fraction) -> Fraction:
    """The length, or the longest note within it."""
    try:
        return NoteValue.from_length(length).length
    except TheoryError:
        return split(length)[0].length


def _group(draw: st.DrawFn) -> str:
    """A group that lasts a quarter, or in 3:4 a half."""
    ratio = draw(_TUPLETS)
    actual, normal = map(int, ratio.split(":"))
    value = Fraction(1, 4) / normal if ratio != "3:4" else Fraction(1, 8)
    sounds = " ".join(draw(_sounds()) for _ in range(actual))
    return f"{ratio}({value.numerator}/{value.denominator} {sounds})"


def _sounds() -> st.SearchStrategy[str]:
    chords = st.lists(_PITCHES, min_size=2, max_size=3, unique=True).map("&".join)
    return st.one_of(_PITCHES, _PITCHES, chords, st.just("rest"))


@st.composite
def blocks(draw: st.DrawFn) -> str:
    count = draw(st.integers(1, 3))
    upper = " | ".join(draw(_bars()) for _ in range(count))
    lower = " | ".join(draw(_bars()) for _ in range(count))
    key = draw(printed_keys)
    return (
        f"key: {key}\ntime: 4/4\nstaves: treble(right) bass(left)\nright: {upper}\nleft: {lower}\n"
    )


@settings(max_examples=40)
@given(blocks())
def test_blocks_made_at_random_come_back_from_musicxml(text: str) -> None:
    score = parse_block(text).score
    back = parse_block(import_excerpt(musicxml_file(Sheet.of(score))).text).score
    assert plain(back) == plain(score)


@settings(max_examples=40)
@given(blocks())
def test_blocks_made_at_random_come_back_from_mei(text: str) -> None:
    score = parse_block(text).score
    back = parse_block(import_excerpt(document(Sheet.of(score)).encode()).text).score
    assert plain(back) == plain(score)
