"""What has no written time, played evenly: bare note heads, and symbols that stand alone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from typing import Final

from stavewright.figures.mei.ids import head_id
from stavewright.figures.sound.clockwork import Pass, heard, played
from stavewright.figures.sound.loudness import MIDDLING, SOFT
from stavewright.figures.sound.performance import PlayedNote
from stavewright.figures.timeline import TempoMap
from stavewright.notation.realise import chord_pitches
from stavewright.notation.score import ChordEvent, NumeralEvent, Score, Voice
from stavewright.theory import Chord, Interval, Pitch, TheoryError

_NOTE: Final = Fraction(1, 4)
_CHORD: Final = Fraction(1, 2)
_CHORD_TONES: Final = 3
_OCTAVE: Final = Interval.of_degree(8)


@dataclass(frozen=True, slots=True)
class Way:
    """How symbols are played."""

    voice: int
    """Index into the performance's voices."""
    loudness: int
    is_low: bool
    """Whether an octave lower, under a tune."""


ALONE: Final = Way(0, MIDDLING, is_low=False)
"""For a chart, whose chords are all there is."""


def under_tune(score: Score) -> Way:
    """For symbols over a tune: a voice of their own after the written ones, soft and low."""
    return Way(len(score.voices), SOFT, is_low=True)


def is_tune(score: Score) -> bool:
    """Whether the notes leave chords to the symbols: never three pitches at once.

    Over notes that are chords themselves the symbols are labels, and playing them would double
    what is there.
    """
    changes: dict[Fraction, int] = {}
    for voice in score.voices:
        for event in voice.events:
            pitches = sum(isinstance(head.sound, Pitch) for head in event.heads)
            changes[event.start] = changes.get(event.start, 0) + pitches
            changes[event.end] = changes.get(event.end, 0) - pitches
    at_once = accumulate(count for _, count in sorted(changes.items()))
    return max(at_once, default=0) < _CHORD_TONES


def is_bare(voice: Voice) -> bool:
    """Whether the notes of a voice have no values; a rest that fills its bar needs none."""
    return not any(event.duration for event in voice.events if event.heads)


def bare_step(voice: Voice) -> Fraction:
    """How long each bare head lasts: a quarter, a half where any are chords."""
    return _CHORD if any(len(event.heads) > 1 for event in voice.events) else _NOTE


def play_bare(voice: Voice, place: int, tempos: TempoMap) -> list[PlayedNote]:
    """Bare heads one after another."""
    step = bare_step(voice)
    notes = []
    for index, event in enumerate(voice.events):
        start, end = index * step, (index + 1) * step
        for at, head in enumerate(event.heads):
            name = head_id(voice.name, index, at, len(event.heads))
            times = tempos.seconds_at(start), tempos.seconds_at(end)
            notes.append(PlayedNote(place, head.sound, start, end, *times, MIDDLING, (name,)))
    return notes


def play_symbols(
    score: Score, order: Sequence[Pass], tempos: TempoMap, way: Way
) -> list[PlayedNote]:
    """A chart's chords, or its numerals where it has none, in close position."""
    symbols = score.chords or score.numerals
    found: list[PlayedNote] = []
    for here in order:
        start = here.start
        end = start + score.bars[here.bar].length
        for symbol in symbols:
            if symbol.start >= end or symbol.end <= start:
                continue
            # Where a chord runs on through a bar it is struck again, so that no repeat is silent.
            times = max(start, symbol.start), min(end, symbol.end)
            found += _chord_notes(here, _pitches(symbol), times, tempos, way)
    return found


def _chord_notes(
    here: Pass,
    pitches: Sequence[Pitch],
    times: tuple[Fraction, Fraction],
    tempos: TempoMap,
    way: Way,
) -> Iterator[PlayedNote]:
    start, end = times
    for pitch in pitches:
        yield PlayedNote(
            way.voice,
            pitch - _OCTAVE if way.is_low else pitch,
            played(here, start),
            played(here, end),
            heard(here, start, tempos),
            heard(here, end, tempos),
            way.loudness,
            (),
        )


def _pitches(symbol: ChordEvent | NumeralEvent) -> tuple[Pitch, ...]:
    chord = symbol.chord if isinstance(symbol, ChordEvent) else _of_numeral(symbol)
    return () if chord is None else chord_pitches(chord)


def _of_numeral(event: NumeralEvent) -> Chord | None:
    if event.numeral is None or event.key is None:
        return None
    try:
        return event.numeral.chord(event.key)
    except TheoryError:
        return None
