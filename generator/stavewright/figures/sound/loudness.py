"""How loud a note is played.

Common practice, no source: a step of dynamic is a step of fourteen in MIDI's velocity about a
middling 64 to 78; an accent adds a step, a ghost note has half.
"""

from typing import Final

from stavewright.notation.score import Event, EventMark, Head, HeadMark

MIDDLING: Final = 71
"""For a voice whose author says nothing."""
SOFT: Final = 46
"""For chords under a tune: two steps softer."""
_STEADY: Final = {
    "n": 16,
    "ppp": 22,
    "pp": 36,
    "p": 50,
    "mp": 64,
    "mf": 78,
    "f": 92,
    "ff": 106,
    "fff": 120,
    "fp": 50,
}
_SUDDEN: Final = {"fp": 92, "sf": 100, "sfz": 104, "rf": 96, "rfz": 96, "fz": 100}
"""For the note under the sign alone."""
_ACCENT: Final = 14


def steady(dynamic: str | None, before: int) -> int:
    """The loudness that holds from a dynamic on."""
    return _STEADY.get(dynamic or "", before)


def of_head(event: Event, head: Head, level: int) -> int:
    """The loudness of one head at a level, from 1 to 127."""
    loudness = _SUDDEN.get(event.dynamic or "", level)
    if event.marks and EventMark.ACCENT in event.marks:
        loudness += _ACCENT
    if head.marks and HeadMark.GHOST in head.marks:
        loudness //= 2
    return max(1, min(127, loudness))
