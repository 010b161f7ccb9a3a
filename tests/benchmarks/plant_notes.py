"""Plants wrong notes: respelled, a half step off, a step off."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from stavewright.notation.score import NumeralEvent
from stavewright.theory import Interval, Pitch
from stavewright.theory.pitch import Letter
from tests.benchmarks.planting import Kind, Mistake, Place, changed, place_of
from tests.benchmarks.under_labels import Music, Struck, chord_of, is_stepwise

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.benchmarks.under_labels import Label

_PITCH = re.compile(r"[A-G](?:#{1,3}|b{1,3}|x{1,2}|[♯♭]|##)?-?\d")
_HALF = Fraction(1, 2)
_TWO_SPELLINGS = {"#9", "#11", "b5", "#5", "b13"}
"""Altered tones of a dominant, which practice writes either way."""


def plant_notes(music: Music, source: str) -> Iterator[Mistake]:
    for note in music.notes:
        span = note.head.span
        if span is None or note.head.tied or _is_tied_to(music, note):
            continue
        written = music.text.split("\n")[span.line - 1][span.column - 1 :]
        match = _PITCH.match(written)
        if match is None or match[0] != str(note.pitch):
            continue
        place = Place(span.line, span.column, span.column + len(match[0]))
        for kind, other in _others(music, note):
            text, there = changed(music.text, place, str(other))
            labels = music.labels_over(note.start)
            yield Mistake(
                kind,
                source,
                text,
                music.text,
                there,
                match[0],
                str(other),
                _not_told(kind, music, note, other, labels),
                tuple(place_of(label.span) for label in labels if label.span is not None),
            )


def _is_tied_to(music: Music, note: Struck) -> bool:
    events = music.score.voices[note.voice].events
    return note.at > 0 and any(head.tied for head in events[note.at - 1].heads)


def _others(music: Music, note: Struck) -> Iterator[tuple[Kind, Pitch]]:
    pitch = note.pitch
    if pitch.cents_altered % 100:
        return
    for way in (-1, 1):
        letters = list(Letter)
        at = letters.index(pitch.letter) + way
        letter, octave = letters[at % 7], pitch.octave + at // 7
        natural = Pitch(letter, 0, octave)
        altered = pitch.cents - natural.cents
        if abs(altered) <= 100:
            yield Kind.RESPELLED, Pitch(letter, altered, octave)
        key = music.score.key_at(note.start)
        if key is not None:
            step = next((n for n in key.names if n.letter is letter), None)
            if step is not None and step.at(octave).cents != pitch.cents:
                yield Kind.STEP, step.at(octave)
        if abs(pitch.cents_altered + 100 * way) <= 200:
            yield Kind.SEMITONE, pitch + Interval(0, 100 * way)


def _not_told(
    kind: Kind, music: Music, note: Struck, other: Pitch, labels: list[Label]
) -> str | None:
    if kind is Kind.RESPELLED:
        return _respelling_not_told(music, note, other, labels)
    if not labels:
        return "no label says what should sound"
    reasons = [_move_not_told(music, note, other, label) for label in labels]
    return None if None in reasons else reasons[0]


def _respelling_not_told(
    music: Music, note: Struck, other: Pitch, labels: list[Label]
) -> str | None:
    _, after = music.neighbours(note)
    sign = 1 if other.cents_altered > 0 else -1 if other.cents_altered < 0 else 0
    for goal in after:
        step = other.interval_to(goal)
        if sign and (step.steps, step.cents) == (sign, 100 * sign):
            return "it leads by half step as its sign says"
    for label in labels:
        chord = chord_of(label)
        tone = chord.tone(note.pitch.name) if chord is not None else None
        if chord is not None and tone is not None:
            dominant = {"3", "b7"} <= set(chord.degrees)
            loose = tone.degree in _TWO_SPELLINGS and dominant
            return "an altered tone that is written either way" if loose else None
    key = music.score.key_at(note.start)
    if key is None:
        return "no key and no label says how it is spelled"
    return None if key.contains(note.pitch.name) else "neither the key nor a label has the note"


def _is_on_top(music: Music, note: Struck) -> bool:
    """Whether it is the highest note there."""
    there = [n for n in music.notes if n.start < note.end and n.end > note.start]
    return all(n.pitch <= note.pitch for n in there)


def _move_not_told(music: Music, note: Struck, other: Pitch, label: Label) -> str | None:
    """Why a label may stand over the moved note as well."""
    chord = chord_of(label)
    if chord is None or chord.tone(note.pitch.name) is None:
        return "the note was an ornament, and so may the other be"
    if chord.tone(other.name) is not None or other.name == chord.bass:
        return "the other note is in the chord as well"
    share = note.share(label.start, label.end)
    if share < _HALF or note.start > label.start:
        return "it is short or late enough to be an ornament"
    before, after = music.neighbours(note)
    if other in before:
        return "it repeats the note before, as a suspension or a pedal does"
    if any(is_stepwise(pitch, other) for pitch in after):
        return "it moves on by step, as an appoggiatura or a suspension does"
    if note.end > label.end or note.start < label.start:
        return "it stays while the label changes, as a pedal does"
    letters = {name.letter for name in chord.names}
    if (
        not isinstance(label, NumeralEvent)
        and other.letter not in letters
        and _is_on_top(music, note)
    ):
        return "over a chord symbol a tune may rest on an added note"
    if len(music.under(label)) < 3 or music.most_at_once(label) < 3:
        return "the texture is too thin to say the chord"
    return None
