"""Which notes are at home in a key, and which key is in force."""

from bisect import bisect_right
from fractions import Fraction

from stavewright.notation.score import Score
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key, Mode
from stavewright.theory.pitch import PitchName

_RAISED = (Interval.of_degree(6), Interval.of_degree(7))
"""The raised sixth and seventh of minor."""


def is_at_home(name: PitchName, key: Key) -> bool:
    """Whether a note is in the key; minor has both its sixths and both its sevenths."""
    if key.contains(name):
        return True
    return key.mode is Mode.MINOR and name in [key.tonic + interval for interval in _RAISED]


def home_names(key: Key) -> tuple[PitchName, ...]:
    """Every note of the key, the raised degrees of minor among them."""
    raised = [key.tonic + interval for interval in _RAISED] if key.mode is Mode.MINOR else []
    return (*key.names, *(name for name in raised if not key.contains(name)))


def key_at(score: Score, time: Fraction) -> Key | None:
    """The key in which a moment is heard: that of the numerals where they name one."""
    at = bisect_right(score.numerals, time, key=lambda event: event.start) - 1
    if at >= 0 and time < score.numerals[at].end and score.numerals[at].key is not None:
        return score.numerals[at].key
    return score.key_at(time)
