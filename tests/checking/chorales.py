"""Four-part chorales with their published Roman numeral analyses, from the corpus in music21.

Old chorale settings in the public domain; the analyses are distributed with music21 (a test
dependency) and were made by hand, by people who never heard of these checks.
"""

from __future__ import annotations

import re
import warnings
from bisect import bisect_right
from fractions import Fraction
from functools import cache
from typing import Any

from stavewright.notation.score import (
    Bar,
    Event,
    EventMark,
    Head,
    NumeralEvent,
    Score,
    Silence,
    Staff,
    Voice,
)
from stavewright.notation.source import Span
from stavewright.theory import Key, Meter, Numeral, Pitch

NAMES = ("soprano", "alto", "tenor", "bass")
NUMBERS = (1, 2, 3, 4, 5, 6, 7, 8, 9, 10)
"""The first ten; among the later ones are settings in another key or with more voices."""


@cache
def chorales() -> dict[int, Score]:
    """The chorales as Scores, by their number in the collection."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from music21 import converter, corpus

        paths = sorted(str(path) for path in corpus.getPaths(fileExtensions=["rntxt"]))
        analyses = [path for path in paths if "choraleAnalyses" in path]
        found = {}
        streams = iter(corpus.chorales.Iterator(1, max(NUMBERS)))
        for number, music in enumerate(streams, 1):
            labels = converter.parse(analyses[number - 1], format="romanText")
            found[number] = _score(music, labels)
        return found


def _quarters(length: Any) -> Fraction:
    """Quarter lengths as parts of a whole note, exact also in triplets."""
    return Fraction(length).limit_denominator(96) / 4


def _score(music: Any, labels: Any) -> Score:
    parts = list(music.parts)[:4]
    bars = tuple(_bars(parts[0]))
    voices = tuple(
        Voice(name, 0, tuple(_events(part, name, bars)), ())
        for name, part in zip(NAMES, parts, strict=True)
    )
    numerals = tuple(_numerals(labels.parts[0], bars[-1].start + bars[-1].length))
    staff = Staff("treble", NAMES)
    return Score(key=numerals[0].key, staves=(staff,), voices=voices, bars=bars, numerals=numerals)


def _bars(part: Any) -> list[Bar]:
    meter = Meter((4,), 4)
    bars = []
    for measure in part.getElementsByClass("Measure"):
        if measure.timeSignature is not None:
            meter = Meter.parse(measure.timeSignature.ratioString)
        start, length = _quarters(measure.offset), _quarters(measure.quarterLength)
        bars.append(Bar(start, length, meter, measure.number))
    return bars


def _events(part: Any, name: str, bars: tuple[Bar, ...]) -> list[Event]:
    events = []
    for note in part.flatten().notesAndRests:
        if note.duration.isGrace:
            continue
        start, length = _quarters(note.offset), _quarters(note.quarterLength)
        at = bisect_right(bars, start, key=lambda bar: bar.start) - 1
        span = Span(name, int(start * 96) + 1, 1, 2)
        if note.isRest:
            events.append(Event(start, length, length, at, (), Silence.REST, span=span))
            continue
        pitch = Pitch.parse(f"{note.pitch.name.replace('-', 'b')}{note.pitch.octave}")
        tied = note.tie is not None and note.tie.type in ("start", "continue")
        head = Head(pitch, tied=tied, span=span)
        held = any("Fermata" in sign.classes for sign in note.expressions)
        marks = frozenset({EventMark.FERMATA} if held else ())
        events.append(Event(start, length, length, at, (head,), marks=marks, span=span))
    return events


def _numerals(part: Any, end: Fraction) -> list[NumeralEvent]:
    labels = list(part.flatten().getElementsByClass("RomanNumeral"))
    starts = [_quarters(label.getOffsetInHierarchy(part)) for label in labels]
    found = []
    for label, start, stop in zip(labels, starts, [*starts[1:], end], strict=True):
        if stop <= start:
            continue
        # Their figures have a stroke between (6/5), their half-diminished sign is /o.
        text = re.sub(r"(\d)/(?=\d)", r"\1", label.figure.replace("/o", "ø"))
        readable = "[" not in text
        tonic = label.key.tonic.name.replace("-", "b")
        found.append(
            NumeralEvent(
                start,
                stop - start,
                Numeral.parse(text) if readable else None,
                Key.parse(f"{tonic} {label.key.mode}"),
                text,
                span=Span("numerals", int(start * 96) + 1, 1, 2),
            )
        )
    return found
