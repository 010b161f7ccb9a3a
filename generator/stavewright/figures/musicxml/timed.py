"""Bare note heads given a time, since MusicXML has no note without one."""

from dataclasses import replace
from fractions import Fraction
from typing import Final

from stavewright.notation.score import Event, Score, Voice, VoiceBar

STEP: Final = Fraction(1, 4)
"""What a bare head is written as; its stem is left out."""


def is_bare(score: Score) -> bool:
    """Whether no voice has any note value."""
    return not any(event.duration for voice in score.voices for event in voice.events)


def is_mixed(score: Score) -> bool:
    """Whether bare heads stand beside note values, which no measure can hold."""
    events = [event for voice in score.voices for event in voice.events]
    return any(event.heads and not event.duration for event in events) and not is_bare(score)


def timed(score: Score) -> Score:
    """A score of bare heads with a quarter to each; any other comes back as it is."""
    if not is_bare(score):
        return score
    # A bar without a head takes time as well: two bars at one time would share their symbols.
    counts = [
        max([1, *(_in_bar(voice, bar) for voice in score.voices)]) for bar in range(len(score.bars))
    ]
    starts = [sum(counts[:bar]) * STEP for bar in range(len(counts))]
    bars = tuple(
        replace(bar, start=start, length=count * STEP)
        for bar, start, count in zip(score.bars, starts, counts, strict=True)
    )
    voices = tuple(_timed_voice(voice, starts) for voice in score.voices)
    moved: dict[Fraction, Fraction] = {}
    for voice, other in zip(score.voices, voices, strict=True):
        for event, after in zip(voice.events, other.events, strict=True):
            # Heads of one moment come one after the other now; its symbol stands over the first.
            moved.setdefault(event.start, after.start)
    for bar, start in zip(score.bars, starts, strict=True):
        moved.setdefault(bar.start, start)
    chords = tuple(
        replace(chord, start=moved.get(chord.start, chord.start), duration=STEP)
        for chord in score.chords
    )
    return replace(score, bars=bars, voices=voices, chords=chords)


def _in_bar(voice: Voice, bar: int) -> int:
    return sum(event.bar == bar for event in voice.events)


def _timed_voice(voice: Voice, starts: list[Fraction]) -> Voice:
    events: list[Event] = []
    placed = [0] * len(starts)
    for event in voice.events:
        start = starts[event.bar] + placed[event.bar] * STEP
        placed[event.bar] += 1
        events.append(replace(event, start=start, duration=STEP, value=STEP))
    bars = tuple(
        VoiceBar(bar.first, count * STEP) for bar, count in zip(voice.bars, placed, strict=False)
    )
    return replace(voice, events=tuple(events), bars=bars)
