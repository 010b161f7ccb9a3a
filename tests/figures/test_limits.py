"""What must not reach the engraver is refused with a reason."""

from dataclasses import replace
from fractions import Fraction

import pytest

from stavewright.figures.mei import fault_in
from stavewright.notation.score import Score, Tuplet
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key
from stavewright.theory.pitch import Pitch
from tests.figures.scores import written

PLAIN = "key: C major\ntime: 4/4\nnotes: 1/4 C4 D4 E4 F4"


def _with_event(score: Score, **changes: object) -> Score:
    voice = score.voices[0]
    event = replace(voice.events[0], **changes)
    return replace(score, voices=(replace(voice, events=(event, *voice.events[1:])),))


def _pitched(text: str) -> Score:
    score = written(PLAIN)
    head = replace(score.voices[0].events[0].heads[0], sound=Pitch.parse(text))
    return _with_event(score, heads=(head,))


def _crowded() -> Score:
    score = written(PLAIN)
    return _with_event(score, heads=score.voices[0].events[0].heads * 21)


def _nested() -> Score:
    score = written(PLAIN)
    tuplets = tuple(Tuplet(3, 2, 0, 3) for _ in range(9))
    return replace(score, voices=(replace(score.voices[0], tuplets=tuplets),))


def _transposed() -> Score:
    score = written(PLAIN)
    far = Interval(steps=28, cents=4800)
    voice = replace(score.voices[0], transposition=far)
    return replace(score, voices=(voice,), key=None)


CASES = {
    "a chord of 21 notes": (_crowded(), "at most 20 notes"),
    "groups nested nine deep": (_nested(), "nested 8 deep"),
    "501 bars": (replace(written(PLAIN), bars=written(PLAIN).bars * 501), "500 bars"),
    "a value that no note has": (_with_event(written(PLAIN), value=Fraction(5, 16)), "5/16"),
    "a value beyond any flag": (_with_event(written(PLAIN), value=Fraction(1, 4096)), "1/4096"),
    "a label of 101 characters": (_with_event(written(PLAIN), label="x" * 101), "100 characters"),
    "four sharps on a note": (_pitched("C####4"), "three sharps"),
    "a pitch far above the staff": (_transposed() and _pitched("C10"), "too far"),
    "a signature of 28 sharps": (
        replace(written(PLAIN), key=Key.of_signature(28)),
        "no printer has",
    ),
    "no voice": (replace(written(PLAIN), voices=()), "no music"),
}


@pytest.mark.parametrize("name", CASES)
def test_refused(name: str) -> None:
    score, words = CASES[name]
    fault = fault_in(score)
    assert fault is not None
    assert words in fault.message


def test_the_plain_score_is_not_refused() -> None:
    assert fault_in(written(PLAIN)) is None


def test_a_voice_transposed_off_the_staff_is_refused() -> None:
    score = _transposed()
    voice = replace(score.voices[0], transposition=Interval(steps=70, cents=12000))
    fault = fault_in(replace(score, voices=(voice,)))
    assert fault is not None
    assert "too far" in fault.message
