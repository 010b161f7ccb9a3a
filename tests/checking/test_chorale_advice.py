"""What chorale advice says of chorales, and how much of what is planted in them it finds.

Ten old settings (184 bars) of the practice that the style is taught from. They take liberties that
the courses do not: inner voices cross and overlap for the sake of their lines, and in one setting
passing eighths run in fifths. So the numbers here are no false alarms to be brought to zero; they
are held so that a change of a rule shows. Of what is planted only that is missed which reads as a
resolution delayed, since the note that was wanted follows after all.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import pytest

from stavewright.checking.keys import key_at
from stavewright.checking.partwriting import Parts, parts_for
from stavewright.checking.registry import BLOCK_RULES
from stavewright.checking.styles import ADVICE_RULES
from stavewright.theory import Interval
from tests.checking.chorales import chorales

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stavewright.checking.sounding import Note
    from stavewright.notation.finding import Finding
    from stavewright.notation.score import Score
    from stavewright.theory import Pitch


CHECKS = {rule.id: rule.check for rule in BLOCK_RULES if rule.id in ADVICE_RULES}
COUNTED = {
    "voice-overlap": 15,
    "voice-crossing": 10,
    "voice-spacing": 9,
    "leading-tone-resolution": 7,
    "parallel-fifths": 5,
    "parallel-octaves": 1,
    "augmented-second": 1,
}
"""Findings in the ten, read one by one; of every other rule none."""

Planted = tuple["Score", str, "Note"]
"""The changed score, the rule that is to find it, and the note it is to point at."""


def advice(score: Score, rule: str) -> list[Finding]:
    check = CHECKS[rule]
    assert check is not None
    return list(check(score))


@cache
def settings() -> tuple[Score, ...]:
    return tuple(replace(score, style="chorale") for score in chorales().values())


def test_what_is_said_of_the_chorales() -> None:
    said = Counter(
        found.rule for score in settings() for rule in CHECKS for found in advice(score, rule)
    )
    assert said == COUNTED


@pytest.mark.parametrize("plant", ["fifths", "octaves", "leading tones", "sevenths", "crossings"])
def test_planted_slips_are_found_at_their_note(plant: str) -> None:
    outcomes = [
        (note.span in [found.span for found in advice(score, rule)])
        for setting in settings()
        for score, rule, note in PLANTS[plant](_parts(setting))
    ]
    assert len(outcomes) >= 10
    assert sum(outcomes) / len(outcomes) >= 0.92, f"{sum(outcomes)} of {len(outcomes)}"


def _parts(score: Score) -> Parts:
    parts = parts_for(score, "doubling")
    assert parts is not None
    return parts


def _with(score: Score, note: Note, pitch: Pitch) -> Score:
    """The score with another pitch for a note, ties and all."""
    voice = score.voices[note.voice]
    events = tuple(
        replace(event, heads=tuple(replace(head, sound=pitch) for head in event.heads))
        if note.start <= event.start < note.end
        else event
        for event in voice.events
    )
    voices = list(score.voices)
    voices[note.voice] = replace(voice, events=events)
    return replace(score, voices=tuple(voices))


def _at_interval(parts: Parts, short: str, rule: str) -> Iterator[Planted]:
    """The tenor moved to an interval above the bass, twice, where both move."""
    interval = Interval.parse(short)
    for motion in parts.motions[::3]:
        (tenor, bass), (then, below) = motion.before, motion.after
        moves = bass.pitch.name != below.pitch.name
        if moves and (motion.upper, motion.lower) == (2, 3):
            score = _with(parts.score, tenor, bass.pitch + interval)
            yield _with(score, then, below.pitch + interval), rule, then


def _fifths(parts: Parts) -> Iterator[Planted]:
    yield from _at_interval(parts, "P5", "parallel-fifths")


def _octaves(parts: Parts) -> Iterator[Planted]:
    yield from _at_interval(parts, "P8", "parallel-octaves")


def _leading_tones(parts: Parts) -> Iterator[Planted]:
    """A leading tone of the soprano or bass that rises made to fall a third."""
    for left in parts.departures:
        chord = parts.harmony(left.moments[0].time)
        key = key_at(parts.score, left.note.start)
        leads = chord is not None and chord.leading_tone(key) == left.note.pitch.name
        rises = left.next.pitch == left.note.pitch + Interval.parse("m2")
        shared = [note.pitch.name for note in left.moments[1].sounding]
        if leads and rises and parts.is_outer(left.note) and shared.count(left.next.pitch.name) > 1:
            score = _with(parts.score, left.next, left.note.pitch - Interval.parse("M3"))
            yield score, "leading-tone-resolution", left.next


def _sevenths(parts: Parts) -> Iterator[Planted]:
    """A seventh that falls by step made to leap up a fourth."""
    for left in parts.departures:
        chord, then = (parts.harmony(moment.time) for moment in left.moments)
        is_seventh = chord is not None and chord.seventh == left.note.pitch.name
        falls = left.next.pitch.staff_position == left.note.pitch.staff_position - 1
        changes = chord is not None and then is not None and then.root != chord.root
        shared = [note.pitch.name for note in left.moments[1].sounding]
        if is_seventh and falls and changes and shared.count(left.next.pitch.name) > 1:
            score = _with(parts.score, left.next, left.note.pitch + Interval.parse("P4"))
            yield score, "seventh-resolution", left.next


def _crossings(parts: Parts) -> Iterator[Planted]:
    """A note of the alto moved below the tenor."""
    for moment in parts.moments[::5]:
        alto, tenor = moment.notes[1], moment.notes[2]
        if alto is not None and tenor is not None and moment.strikes(alto):
            in_order = alto.pitch >= tenor.pitch
            if in_order and _in_order_before(parts, alto):
                pitch = tenor.pitch - Interval.parse("M2")
                yield _with(parts.score, alto, pitch), "voice-crossing", alto


def _in_order_before(parts: Parts, alto: Note) -> bool:
    before = parts.before(alto)
    if before is None:
        return True
    there = [note for note in parts.at(before.start).sounding if parts.line(note) == 2]
    return all(note.pitch <= before.pitch for note in there)


PLANTS = {
    "fifths": _fifths,
    "octaves": _octaves,
    "leading tones": _leading_tones,
    "sevenths": _sevenths,
    "crossings": _crossings,
}
