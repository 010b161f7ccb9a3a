"""What has no written time, played evenly: bare note heads, and symbols that stand alone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from typing import Final

from stavewright.figures.mei.ids import head_id
from stavewright.figures.sound.clockwork import Clock, Pass
from stavewright.figures.sound.loudness import MIDDLING, SOFT
from stavewright.figures.sound.performance import PlayedNote
from stavewright.notation.realise import chord_pitches
from stavewright.notation.score import ChordEvent, NumeralEvent, Score, Voice
from stavewright.theory import Chord, Interval, Pitch, TheoryError

_NOTE: Final = Fraction(1, 4)
_CHORD: Final = Fraction(1, 2)
_CHORD_TONES: Final = 3
_DOWN: Final = -Interval.of_degree(8)


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


def is_tune(score: Score, clock: Clock) -> bool:
    """Whether the notes leave chords to the symbols: never three pitches at once.

    Over notes that are chords themselves the symbols are labels, and playing them would double
    what is there.
    """
    in_ticks = clock.resolution.in_ticks
    changes: dict[int, int] = {}
    for voice in score.voices:
        for event in voice.events:
            pitches = sum(isinstance(head.sound, Pitch) for head in event.heads)
            start = in_ticks(event.start)
            end = start + in_ticks(event.duration)
            changes[start] = changes.get(start, 0) + pitches
            changes[end] = changes.get(end, 0) - pitches
    at_once = accumulate(count for _, count in sorted(changes.items()))
    return max(at_once, default=0) < _CHORD_TONES


def is_bare(voice: Voice) -> bool:
    """Whether the notes of a voice have no values; a rest that fills its bar needs none."""
    return not any(event.duration for event in voice.events if event.heads)


def bare_step(voice: Voice) -> Fraction:
    """How long each bare head lasts: a quarter, a half where any are chords."""
    return _CHORD if any(len(event.heads) > 1 for event in voice.events) else _NOTE


def play_bare(voice: Voice, place: int, clock: Clock) -> list[PlayedNote]:
    """Bare heads one after another."""
    step = clock.resolution.in_ticks(bare_step(voice))
    notes = []
    for index, event in enumerate(voice.events):
        start, end = index * step, (index + 1) * step
        instants = clock.at(start), clock.at(end)
        for at, head in enumerate(event.heads):
            name = head_id(voice.name, index, at, len(event.heads))
            notes.append(PlayedNote(place, head.sound, start, end, *instants, MIDDLING, (name,)))
    return notes


def play_symbols(score: Score, order: Sequence[Pass], clock: Clock, way: Way) -> list[PlayedNote]:
    """A chart's chords, or its numerals where it has none, in close position."""
    in_ticks = clock.resolution.in_ticks
    symbols = [
        _Symbol(in_ticks(symbol.start), in_ticks(symbol.end), _pitches(symbol, way))
        for symbol in score.chords or score.numerals
    ]
    found: list[PlayedNote] = []
    for here in order:
        for symbol in symbols:
            if symbol.start < here.end and symbol.end > here.start:
                found += _chord_notes(here, symbol, clock, way)
    return found


@dataclass(frozen=True, slots=True)
class _Symbol:
    """What a symbol plays, from tick to tick of the page."""

    start: int
    end: int
    pitches: tuple[Pitch, ...]


def _chord_notes(here: Pass, symbol: _Symbol, clock: Clock, way: Way) -> Iterator[PlayedNote]:
    # Where a chord runs on through a bar it is struck again, so that no repeat is silent.
    start, end = max(here.start, symbol.start), min(here.end, symbol.end)
    ticks = here.shift + start, here.shift + end
    instants = here.delay + clock.at(start), here.delay + clock.at(end)
    for pitch in symbol.pitches:
        yield PlayedNote(way.voice, pitch, *ticks, *instants, way.loudness, ())


def _pitches(symbol: ChordEvent | NumeralEvent, way: Way) -> tuple[Pitch, ...]:
    chord = symbol.chord if isinstance(symbol, ChordEvent) else _of_numeral(symbol)
    pitches = () if chord is None else chord_pitches(chord)
    return tuple(pitch + _DOWN for pitch in pitches) if way.is_low else pitches


def _of_numeral(event: NumeralEvent) -> Chord | None:
    if event.numeral is None or event.key is None:
        return None
    try:
        return event.numeral.chord(event.key)
    except TheoryError:
        return None
