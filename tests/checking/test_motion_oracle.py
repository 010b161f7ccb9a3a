"""How two voices move, against an outside judge: music21's quartets of notes (test dependency).

Every combination of some notes above with some notes below, two and two. Where the two judges
differ, the difference has a reason that is named here; each reason is met, and no difference is
left without one.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from functools import cache
from itertools import product
from typing import TYPE_CHECKING, Any

import pytest
from music21 import note, voiceLeading

from stavewright.checking.registry import BLOCK_RULES
from stavewright.notation.score import Bar, Event, Head, Score, Staff, Voice
from stavewright.notation.source import Span
from stavewright.theory import Pitch

if TYPE_CHECKING:
    from collections.abc import Callable

UPPER = ("C4", "E4", "G4", "A4", "B4", "C5", "D5", "F#5")
LOWER = ("C3", "D3", "F3", "G3", "C4", "E4", "F#3")
CHECKS = {rule.id: rule.check for rule in BLOCK_RULES}

Quartet = tuple[str, str, str, str]
"""The upper voice's two notes, then the lower voice's."""

THEIRS: dict[str, Callable[[Any], bool]] = {
    "parallel-fifths": lambda judge: judge.parallelFifth(),
    "parallel-octaves": lambda judge: judge.parallelUnisonOrOctave(),
    "direct-fifths": lambda judge: judge.hiddenFifth(),
    "direct-octaves": lambda judge: judge.hiddenOctave(),
    "voice-crossing": lambda judge: judge.voiceCrossing(),
    "voice-overlap": lambda judge: judge.voiceOverlap(),
}

DIFFERENCES = {
    "both voices only change the octave: one sound, no motion": "parallel-fifths parallel-octaves",
    "the top voice goes by step, which the trade lets pass": "direct-fifths direct-octaves",
    "an octave and a unison are one kind of interval here, two there": (
        "parallel-octaves direct-octaves"
    ),
    "a diminished or augmented interval before the perfect one is no parallel here": (
        "direct-fifths direct-octaves"
    ),
    "the voices cross, and that is said instead": "voice-overlap",
}
"""Why the judges differ, and about what."""


def quartets() -> list[Quartet]:
    return list(product(UPPER, UPPER, LOWER, LOWER))


def _score(quartet: Quartet) -> Score:
    def voice(name: str, pitches: tuple[str, ...]) -> Voice:
        heads = [Head(Pitch.parse(each), span=Span(name, 1, 1, 3)) for each in pitches]
        whole = Fraction(1)
        events = (Event(Fraction(at), whole, whole, at, (head,)) for at, head in enumerate(heads))
        return Voice(name, 0, tuple(events), ())

    return Score(
        style="chorale",
        staves=(Staff("treble", ("upper", "lower")),),
        voices=(voice("upper", quartet[:2]), voice("lower", quartet[2:])),
        bars=tuple(Bar(Fraction(at), Fraction(1), None, at + 1) for at in (0, 1)),
    )


@cache
def _ours(quartet: Quartet) -> frozenset[str]:
    score = _score(quartet)
    checks = {rule: check for rule, check in CHECKS.items() if rule in THEIRS and check}
    return frozenset(rule for rule, check in checks.items() if list(check(score)))


@cache
def _theirs(quartet: Quartet) -> frozenset[str]:
    a, b, c, d = (note.Note(each) for each in quartet)
    judge = voiceLeading.VoiceLeadingQuartet(a, b, c, d)
    return frozenset(rule for rule, says in THEIRS.items() if says(judge))


def _reasons(quartet: Quartet, rule: str) -> list[str]:
    a, b, c, d = (Pitch.parse(each) for each in quartet)
    steps = abs(b.staff_position - a.staff_position)
    crossed = a < c or b < d
    before = c.interval_to(a).simple.short
    octaves = {abs(a.staff_position - c.staff_position), abs(b.staff_position - d.staff_position)}
    holds = (
        a.name == b.name and c.name == d.name,
        steps <= 1,
        octaves == {0, 7},
        before in ("d5", "A5", "d8", "A8", "A1"),
        crossed,
    )
    reasons = zip(DIFFERENCES.items(), holds, strict=True)
    return [why for (why, rules), true in reasons if true and rule in rules.split()]


@cache
def _differences() -> tuple[tuple[Quartet, str], ...]:
    return tuple(
        (quartet, rule) for quartet in quartets() for rule in _ours(quartet) ^ _theirs(quartet)
    )


def test_every_difference_has_a_reason() -> None:
    assert [each for each in _differences() if not _reasons(*each)] == []


@pytest.mark.parametrize("reason", DIFFERENCES)
def test_every_reason_is_met(reason: str) -> None:
    assert any(reason in _reasons(*each) for each in _differences())


def test_judges_agree_on_many_of_each_kind() -> None:
    agreed = Counter(rule for each in quartets() for rule in _ours(each) & _theirs(each))
    assert min(agreed[rule] for rule in THEIRS) >= 30, agreed
