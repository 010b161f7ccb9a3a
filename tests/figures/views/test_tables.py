"""Tables of chords and scales: whatever symbol or scale the theory core knows has its rows."""

from xml.etree import ElementTree

import pytest

from stavewright.figures.views import VIEWS
from stavewright.notation import parse_block
from stavewright.notation.realise import realise
from stavewright.notation.score import Score
from stavewright.theory import SCALE_KINDS, Chord, Scale, suffixes

SIGNS = set("♯♭♮𝄪𝄫𝄲𝄳−#")


def rows(score: Score) -> list[list[str]]:
    """The cells of a score's table, row by row, headings left out."""
    wide, _ = VIEWS["table"].draw(score)
    body = ElementTree.fromstring(wide.markup).find("tbody")
    assert body is not None
    return [["".join(cell.itertext()) for cell in row] for row in body]


@pytest.mark.parametrize("suffix", [row.canonical for row in suffixes()])
def test_every_chord_has_a_row_with_an_interval_for_each_note(suffix: str) -> None:
    chord = Chord.parse(f"E{suffix}")
    score = realise(parse_block(f"chords: E{suffix}\n").score)
    ((_, notes, intervals),) = rows(score)
    assert len(notes.split()) == len(intervals.split(", ")) == len(chord.names)
    assert intervals.startswith("root") == (suffix != "no1")
    said = VIEWS["table"].speak(score)
    assert not SIGNS & set(said.bars[0])


@pytest.mark.parametrize("name", [kind.name for kind in SCALE_KINDS])
def test_every_scale_has_a_row_for_each_degree_and_its_steps_make_an_octave(name: str) -> None:
    scale = Scale.parse(f"F#4 {name}")
    found = rows(realise(parse_block(f"scale: F#4 {name}\n").score))
    assert len(found) == len(scale.intervals)
    steps = {"half step": 1, "whole step": 2, "step and a half": 3, "two whole steps": 4}
    assert sum(steps[row[3]] for row in found) == 12


def test_a_chord_that_comes_again_has_one_row() -> None:
    score = realise(parse_block("key: C major\nchords: C G C G7 C\n").score)
    assert [row[:2] for row in rows(score)] == [["C", "I"], ["G", "V"], ["G7", "V7"]]


def test_degrees_of_a_scale_in_cents_are_counted_and_not_measured_by_the_major_scale() -> None:
    measured = rows(realise(parse_block("scale: D4 dorian\n").score))
    assert [row[0] for row in measured] == ["1", "2", "♭3", "4", "5", "6", "♭7"]
    counted = rows(realise(parse_block("scale: D4 steps 150 150 200 200 150 150 200\n").score))
    assert [row[0] for row in counted] == ["1", "2", "3", "4", "5", "6", "7"]


def test_what_sounds_is_named_with_the_signs_of_the_staff() -> None:
    wide, _ = VIEWS["names"].draw(parse_block("notes: F#4 E(-50)4 B(+50)4 E(-14)5\n").score)
    names = [row[0].text for row in ElementTree.fromstring(wide.markup).iterfind("tbody/tr")]
    assert names == ["E𝄳\u202f4", "F♯4", "B𝄲\u202f4", "E(−14)5"]
