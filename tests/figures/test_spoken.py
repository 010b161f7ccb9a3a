"""Figures in words, as they were agreed: set STAVEWRIGHT_REWRITE=1 to write the files anew."""

import os
from pathlib import Path

import pytest

from stavewright.figures.spoken import (
    chord_words,
    name_words,
    numeral_words,
    pitch_words,
    speak_notes,
    speak_staff,
    value_words,
)
from stavewright.figures.spoken.notes import MOST
from stavewright.theory.chord import Chord
from stavewright.theory.note_value import parse_length
from stavewright.theory.numeral import Numeral
from stavewright.theory.pitch import Pitch, PitchName
from tests.cases import Case, cases
from tests.figures.scores import CONSTRUCTS, HERE, read, written

_SPEAKERS = {
    "chord": lambda text: chord_words(Chord.parse(text).parts),
    "numeral": lambda text: numeral_words(Numeral.parse(text).parts),
    "pitch": lambda text: pitch_words(Pitch.parse(text)),
    "name": lambda text: name_words(PitchName.parse(text)),
    "value": lambda text: value_words(parse_length(text)),
}


@pytest.mark.parametrize("case", cases(HERE / "data" / "words.tsv"))
def test_words(case: Case) -> None:
    assert _SPEAKERS[case["kind"]](case["text"]) == case["words"]


@pytest.mark.parametrize("path", CONSTRUCTS, ids=lambda path: path.stem)
def test_spoken_as_agreed(path: Path) -> None:
    score = read(path)
    spoken = speak_staff(score)
    by_note = ["", "Note by note", *speak_notes(score)]
    text = "\n".join([spoken.line, *spoken.bars, *by_note]) + "\n"
    golden = HERE / "golden" / f"{path.stem}.txt"
    if os.environ.get("STAVEWRIGHT_REWRITE"):
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", CONSTRUCTS, ids=lambda path: path.stem)
def test_every_bar_is_said_in_words_alone(path: Path) -> None:
    score = read(path)
    spoken = speak_staff(score)
    assert len(spoken.bars) == len(score.bars)
    for bar in spoken.bars:
        assert not set("♯♭♮#𝄪𝄫") & set(bar)
        assert bar.endswith(".")


@pytest.mark.parametrize("path", CONSTRUCTS, ids=lambda path: path.stem)
def test_note_by_note_says_every_onset_once_in_words_alone(path: Path) -> None:
    score = read(path)
    said = speak_notes(score)
    moments = {(e.start, e.bar) for v in score.voices for e in v.events if e.duration}
    assert len(said) >= len(moments)
    for sentence in said:
        assert not set("♯♭♮#𝄪𝄫") & set(sentence)
        assert sentence.endswith(".")


def test_a_long_piece_is_read_bar_by_bar_from_where_it_grows_long() -> None:
    score = written("time: 4/4\nnotes: 1/4 C4 D4 E4 F4" + " | C4 D4 E4 F4" * 69)
    said = speak_notes(score)
    assert len(said) == MOST + 1
    assert said[-1] == "From bar 61 on, read it bar by bar."
