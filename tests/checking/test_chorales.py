"""How often the numeral check cries wolf, and how often it finds what was planted.

Measured over ten chorales (572 labels): 4 errors where the analyst saw none, three of which are
slips of the analysis; of planted wrong numerals 97 in 100 are found, of notes altered by a half
step 95 in 100. What is missed is mostly a passing seventh or an altered note that moves by step.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

from stavewright.checking.verdicts import Verdict, numeral_verdicts
from stavewright.theory import Mode, Numeral, Pitch
from tests.checking.chorales import chorales

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from stavewright.checking.sounding import Note
    from stavewright.notation.score import Score


SOME_LABELS = {
    Mode.MAJOR: (
        *("I", "ii", "iii", "IV", "V", "vi", "I6", "ii6", "IV6", "V6", "vi6", "V7", "V65"),
        *("viio6", "ii65", "I64", "V43", "V42", "V/V", "V65/V"),
    ),
    Mode.MINOR: (
        *("i", "iio", "III", "iv", "V", "VI", "i6", "iio6", "iv6", "V6", "VI6", "V7", "V65"),
        *("viio6", "viio7", "i64", "V43", "iiø65", "v", "I"),
    ),
}


def contradicted(score: Score) -> set[Fraction]:
    """Where the labels stand that the notes contradict."""
    return {verdict.reading.start for verdict in numeral_verdicts(score) if verdict.contradicts}


def test_published_analyses_are_hardly_ever_questioned() -> None:
    labels = sum(len(numeral_verdicts(score)) for score in chorales().values())
    alarms = sum(len(contradicted(score)) for score in chorales().values())
    assert labels > 500
    assert alarms / labels <= 0.01, f"{alarms} of {labels}"


def test_planted_numerals_are_found() -> None:
    outcomes = [found for score in chorales().values() for found in _planted_numerals(score)]
    assert len(outcomes) > 200
    assert sum(outcomes) / len(outcomes) >= 0.93


def test_planted_notes_are_found() -> None:
    outcomes = [found for score in chorales().values() for found in _planted_notes(score)]
    assert len(outcomes) > 200
    assert sum(outcomes) / len(outcomes) >= 0.92


def _planted_numerals(score: Score) -> Iterator[bool]:
    """One label after another changed for a random other chord."""
    chance = random.Random(len(score.numerals))
    for at in range(0, len(score.numerals), 2):
        event = score.numerals[at]
        if event.numeral is None or event.key is None:
            continue
        other = Numeral.parse(chance.choice(SOME_LABELS[event.key.mode]))
        if other.chord(event.key) == event.numeral.chord(event.key):
            continue
        numerals = (
            *score.numerals[max(0, at - 8) : at],
            replace(event, numeral=other, text=str(other)),
        )
        yield event.start in contradicted(replace(score, numerals=numerals))


def _planted_notes(score: Score) -> Iterator[bool]:
    """In one label after another a chord tone raised or lowered by a half step."""
    chance = random.Random(len(score.numerals))
    for verdict in numeral_verdicts(score)[::2]:
        tones = _plain_tones(verdict)
        if tones and not verdict.faults:
            note = chance.choice(tones)
            label = [n for n in score.numerals if n.start == verdict.reading.start]
            alone = replace(score, numerals=tuple(label))
            changed = _altered(alone, note, chance.choice((-100, 100)))
            yield verdict.reading.start in contradicted(changed)


def _plain_tones(verdict: Verdict) -> list[Note]:
    """Chord tones that are struck under the label and fill half of it or more."""
    hearing = verdict.hearing
    return [
        note
        for note in hearing.notes
        if note.pitch.name in verdict.reading.chord.names
        and hearing.share(note) * 2 >= 1
        and note.start >= hearing.start
        and not hearing.score.voices[note.voice].events[note.event].heads[0].tied
    ]


def _altered(score: Score, note: Note, cents: int) -> Score:
    voice = score.voices[note.voice]
    event = voice.events[note.event]
    old = note.pitch
    head = replace(event.heads[0], sound=Pitch(old.letter, old.cents_altered + cents, old.octave))
    events = (
        *voice.events[: note.event],
        replace(event, heads=(head,)),
        *voice.events[note.event + 1 :],
    )
    voices = (
        *score.voices[: note.voice],
        replace(voice, events=events),
        *score.voices[note.voice + 1 :],
    )
    return replace(score, voices=voices)
