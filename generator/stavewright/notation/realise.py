"""Writes the notes where the author left them to the theory core: a scale, or a list of chords.

Bare note heads take no time, yet each needs a moment of its own for its symbol and its sound; so
the heads written here stand a quarter apart in a scale and a whole note apart in a list of chords.
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from stavewright.notation.score import (
    Bar,
    ChordEvent,
    Event,
    Head,
    Score,
    Silence,
    Staff,
    Voice,
    VoiceBar,
)
from stavewright.theory.chord import Chord
from stavewright.theory.pitch import Letter, Pitch
from stavewright.theory.scale import Scale

VOICE: Final = "notes"
"""The name of the voice that is written."""
_ROOT_OCTAVE: Final = 4
_BASS_OCTAVE: Final = 3
_SCALE_STEP: Final = Fraction(1, 4)
_CHORD_STEP: Final = Fraction(1)
_MIDDLE_C: Final = Pitch(Letter.C, 0, 4)


def realise(score: Score) -> Score:
    """Give the score with the notes of its `scale:` or its plain chord list as a voice.

    A score whose author wrote notes comes back as it is, and so does a chart of chords in a metre.
    """
    if any(voice.events for voice in score.voices):
        return score
    if score.scale is not None:
        return _with_scale(score, score.scale)
    if score.meter is None and score.chords and not score.meter_changes:
        return _with_chords(score)
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
    return _written(score, events, bars, (0,))


def _with_chords(score: Score) -> Score:
    """One event a chord, in the bars that the author drew."""
    events: list[Event] = []
    bars: list[Bar] = []
    firsts: list[int] = []
    chords: list[ChordEvent] = []
    for index, grid in enumerate(score.bars):
        start = len(events) * _CHORD_STEP
        firsts.append(len(events))
        for chord in _chords_of(score, index):
            at = len(events) * _CHORD_STEP
            pitches = () if chord.chord is None else chord_pitches(chord.chord)
            events.append(replace(_bare(at, index, pitches), span=chord.span))
            chords.append(replace(chord, start=at, duration=_CHORD_STEP))
        bars.append(replace(grid, start=start, length=len(events) * _CHORD_STEP - start))
    written = _written(score, tuple(events), tuple(bars), tuple(firsts))
    return replace(written, chords=tuple(chords))


def _chords_of(score: Score, bar: int) -> Sequence[ChordEvent]:
    if bar >= len(score.chord_bars):
        return ()
    bars = score.chord_bars
    end = bars[bar + 1].first if bar + 1 < len(bars) else len(score.chords)
    return score.chords[bars[bar].first : end]


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
