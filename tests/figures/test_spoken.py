"""Figures in words, as they were agreed: set STAVEWRIGHT_REWRITE=1 to write the files anew."""

import os
from pathlib import Path

import pytest

from stavewright.figures.spoken import (
    chord_words,
    name_words,
    numeral_words,
    pitch_words,
    speak_staff,
    value_words,
)
from stavewright.theory.chord import Chord
from stavewright.theory.note_value import parse_length
from stavewright.theory.numeral import Numeral
from stavewright.theory.pitch import Pitch, PitchName
from tests.cases import Case, cases
from tests.figures.scores import CONSTRUCTS, HERE, read

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
    spoken = speak_staff(read(path))
    text = "\n".join([spoken.line, *spoken.bars]) + "\n"
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
