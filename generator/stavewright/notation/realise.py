"""Writes the notes where the author left them to the theory core: a scale, or a list of chords.

Bare note heads take no time, yet each needs a moment of its own for its symbol and its sound; so
the heads written here stand a quarter apart in a scale and a whole note apart in a list of chords.
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final, TypeVar

from stavewright.notation.score import (
    Bar,
    ChordEvent,
    Event,
    Head,
    NumeralEvent,
    Score,
    Silence,
    Staff,
    Voice,
    VoiceBar,
)
from stavewright.theory.chord import Chord
from stavewright.theory.errors import TheoryError
from stavewright.theory.pitch import Letter, Pitch
from stavewright.theory.scale import Scale

Named = TypeVar("Named", ChordEvent, NumeralEvent)

VOICE: Final = "notes"
"""The name of the voice that is written."""
_ROOT_OCTAVE: Final = 4
_BASS_OCTAVE: Final = 3
_SCALE_STEP: Final = Fraction(1, 4)
_CHORD_STEP: Final = Fraction(1)
_MIDDLE_C: Final = Pitch(Letter.C, 0, 4)


def realise(score: Score) -> Score:
    """Give the score with the notes of its `scale:`, or of its plain list, as a voice.

    A plain list is of chords, or of numerals where there are none; what else is said in it stands
    over the same moments. A score whose author wrote notes comes back as it is, and so does a chart
    of chords in a metre.
    """
    if any(voice.events for voice in score.voices):
        return score
    if score.scale is not None:
        return _with_scale(score, score.scale)
    if score.meter is None and not score.meter_changes:
        if score.chords:
            return _with_list(score, score.chords, score.chord_bars)
        if any(_chord(numeral) for numeral in score.numerals):
            return _with_list(score, score.numerals, score.numeral_bars)
    return score


def scale_pitches(scale: Scale) -> tuple[Pitch, ...]:
    """The scale upwards to its closing note, and down again where the way down differs."""
    if scale.falling == scale.intervals:
        return scale.pitches
    return scale.pitches + scale.falling_pitches[1:]


def chord_pitches(chord: Chord) -> tuple[Pitch, ...]:
    """A chord in close position from the bottom: root in octave 4, a slash bass in octave 3."""
    root = chord.root or chord.bass
    tones = {root.at(_ROOT_OCTAVE) + tone.interval for tone in chord.tones}
    if chord.bass != root:
        tones.add(chord.bass.at(_BASS_OCTAVE))
    return tuple(sorted(tones))


def _with_scale(score: Score, scale: Scale) -> Score:
    events = tuple(
        _bare(index * _SCALE_STEP, 0, (pitch,)) for index, pitch in enumerate(scale_pitches(scale))
    )
    bars = (Bar(Fraction(0), len(events) * _SCALE_STEP, None, 1),)
    written = _written(score, events, bars, (0,))
    return replace(
        written,
        chords=_in_bar(score.chords, bars[0], _SCALE_STEP),
        numerals=_in_bar(score.numerals, bars[0], _SCALE_STEP),
    )


def _with_list(score: Score, symbols: Sequence[Named], named_bars: Sequence[VoiceBar]) -> Score:
    """One event a symbol, in the bars that the author drew."""
    events: list[Event] = []
    bars: list[Bar] = []
    firsts: list[int] = []
    for index, grid in enumerate(score.bars):
        start = len(events) * _CHORD_STEP
        firsts.append(len(events))
        for symbol in _within(symbols, named_bars, index):
            chord = _chord(symbol)
            pitches = () if chord is None else chord_pitches(chord)
            at = len(events) * _CHORD_STEP
            events.append(replace(_bare(at, index, pitches), span=symbol.span))
        bars.append(replace(grid, start=start, length=len(events) * _CHORD_STEP - start))
    return replace(
        _written(score, tuple(events), tuple(bars), tuple(firsts)),
        chords=_in_bars(score.chords, score.chord_bars, bars),
        numerals=_in_bars(score.numerals, score.numeral_bars, bars),
    )


def _chord(symbol: ChordEvent | NumeralEvent) -> Chord | None:
    """What a symbol means; None for a gap, and for a numeral that its key does not have."""
    if isinstance(symbol, ChordEvent):
        return symbol.chord
    if symbol.numeral is None or symbol.key is None:
        return None
    try:
        return symbol.numeral.chord(symbol.key)
    except TheoryError:
        return None


def _within(symbols: Sequence[Named], named_bars: Sequence[VoiceBar], bar: int) -> Sequence[Named]:
    """The symbols of one bar."""
    if bar >= len(named_bars):
        return ()
    end = named_bars[bar + 1].first if bar + 1 < len(named_bars) else len(symbols)
    return symbols[named_bars[bar].first : end]


def _in_bars(
    symbols: Sequence[Named], named_bars: Sequence[VoiceBar], bars: Sequence[Bar]
) -> tuple[Named, ...]:
    found: list[Named] = []
    for index, bar in enumerate(bars):
        found += _in_bar(_within(symbols, named_bars, index), bar, _CHORD_STEP)
    return tuple(found)


def _in_bar(symbols: Sequence[Named], bar: Bar, step: Fraction) -> tuple[Named, ...]:
    """Symbols over the heads of a bar, one for each; one alone is for all of them."""
    if len(symbols) == 1:
        return (replace(symbols[0], start=bar.start, duration=bar.length),)
    return tuple(
        replace(symbol, start=bar.start + index * step, duration=step)
        for index, symbol in enumerate(symbols)
    )


def _bare(start: Fraction, bar: int, pitches: Sequence[Pitch]) -> Event:
    heads = tuple(Head(pitch) for pitch in pitches)
    silence = None if heads else Silence.SPACE
    return Event(start, Fraction(0), None, bar, heads, silence)


def _written(
    score: Score, events: tuple[Event, ...], bars: tuple[Bar, ...], firsts: Sequence[int]
) -> Score:
    voice_bars = tuple(VoiceBar(first, bar.length) for first, bar in zip(firsts, bars, strict=True))
    staff = Staff(score.clef or _clef_for(events), (VOICE,), declared=False)
    voice = Voice(VOICE, 0, events, voice_bars)
    return replace(score, staves=(staff,), voices=(voice,), bars=bars)


def _clef_for(events: Sequence[Event]) -> str:
    """The clef on which most of the notes lie near the staff."""
    pitches = [head.sound for event in events for head in event.heads]
    low = sum(isinstance(pitch, Pitch) and pitch < _MIDDLE_C for pitch in pitches)
    return "bass" if 2 * low > len(pitches) else "treble"
