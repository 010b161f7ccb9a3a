"""The events of a score that have something written at them; most have nothing."""

from functools import lru_cache
from typing import NamedTuple

from stavewright.checking.this_score import ThisScore
from stavewright.notation.score import Event, Score, Voice


class Labelled(NamedTuple):
    """An event with a label on it or on one of its notes."""

    number: int
    """Index of its voice."""
    voice: Voice
    at: int
    """Index into the events of the voice."""
    event: Event


def labelled_events(score: Score) -> tuple[Labelled, ...]:
    """All of them, voice by voice."""
    return _labelled_events(ThisScore(score))


# Several rules ask, one after the other; only the last score is kept.
@lru_cache(maxsize=1)
def _labelled_events(this: ThisScore) -> tuple[Labelled, ...]:
    return tuple(
        Labelled(number, voice, at, event)
        for number, voice in enumerate(this.score.voices)
        for at, event in enumerate(voice.events)
        if event.label is not None or any(head.label is not None for head in event.heads)
    )
