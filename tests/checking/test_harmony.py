"""The chord of a moment: what it is, which of its tones leads, and where a label says so."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from stavewright.checking.harmony import heard_harmony, labelled_harmony, resolves_up_to
from stavewright.notation import parse_block
from stavewright.theory import Key, PitchName
from tests.cases import Case, cases

DATA = Path(__file__).parent / "data"
LABELS = """\
key: C major
time: 4/4
numerals: 1/2 V7 vi | 1/4 rest key(G major) 1/4 V7 1/2 I
chords: 1/2 G7 Am | 1/2 D7 G | C | (D)/(C7)
notes: 1/1 G4 | 1/1 G4 | C4 | C4
"""


@pytest.mark.parametrize("case", cases(DATA / "leading_tones.tsv"))
def test_leading_tone(case: Case) -> None:
    names = frozenset(PitchName.parse(name) for name in case["notes"].split())
    key = Key.parse(case["key"]) if case["key"] else None
    harmony = heard_harmony(names)
    if not case["root"]:
        assert harmony is None
        return
    assert harmony is not None
    leading = harmony.leading_tone(key)
    shown = (harmony.root.spelled, leading.spelled if leading else "", harmony.is_consonant)
    assert shown == (case["root"], case["leading"], case["consonant"] == "yes")
    assert harmony.names == names


@pytest.mark.parametrize(
    ("time", "root"),
    [
        # The numerals come first; in their gap and after their end the chord symbols speak.
        (Fraction(0), "G"),
        (Fraction(1, 4), "G"),
        (Fraction(1, 2), "A"),
        (Fraction(1), "D"),
        (Fraction(5, 4), "D"),
        (Fraction(3, 2), "G"),
        (Fraction(2), "C"),
        (Fraction(3), None),
        (Fraction(4), None),
    ],
)
def test_label(time: Fraction, root: str | None) -> None:
    block = parse_block(LABELS)
    harmony = labelled_harmony(block.score, time)
    assert (harmony.root.spelled if harmony else None) == root


def test_a_label_names_its_seventh_and_third() -> None:
    harmony = labelled_harmony(parse_block(LABELS).score, Fraction(0))
    assert harmony is not None
    tones = (harmony.third, harmony.fifth, harmony.seventh)
    assert [tone.spelled for tone in tones if tone] == ["B", "D", "F"]


def test_without_labels_there_is_none() -> None:
    score = parse_block("key: C major\ntime: 4/4\nnotes: 1/1 G3&B3&D4").score
    assert labelled_harmony(score, Fraction(0)) is None


def test_an_augmented_sixth_has_no_root_to_judge_by() -> None:
    score = parse_block("key: C minor\ntime: 4/4\nnumerals: Ger65\nnotes: 1/1 Ab3&C4&Eb4&F#4").score
    assert labelled_harmony(score, Fraction(0)) is None


@pytest.mark.parametrize(("leading", "tonic"), [("B", "C"), ("F#", "G"), ("E#", "F#"), ("A", "Bb")])
def test_a_leading_tone_rises_to_the_next_letter(leading: str, tonic: str) -> None:
    assert resolves_up_to(PitchName.parse(leading)) == PitchName.parse(tonic)
