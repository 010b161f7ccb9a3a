"""The scales known by name, as one table of degrees measured against the major scale.

`b3` is the third of the major scale, lowered by a half step. Families of modes are written once and
rotated, so that no mode can disagree with its parent. Names are those of common practice in theory
teaching and jazz education; there is no standard, and other names of the same scale follow after
`=`. A tradition that uses such a scale is more than its notes, and none is named after one here
unless the term is general among theorists.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from stavewright.theory.interval import Interval
from stavewright.theory.pitch_text import nearest_accidentals

_OCTAVE: Final = Interval.of_degree(8)

_FAMILIES: Final = (
    (
        "1 2 3 4 5 6 7",
        (
            "major / ionian",
            "dorian",
            "phrygian",
            "lydian",
            "mixolydian",
            "minor = natural minor / aeolian",
            "locrian",
        ),
    ),
    (
        "1 2 b3 4 5 b6 7",
        (
            "harmonic minor",
            "locrian natural 6 = locrian #6",
            "ionian augmented = ionian #5",
            "dorian #4",
            "phrygian dominant = phrygian major",
            "lydian #2",
            "ultralocrian = altered diminished",
        ),
    ),
    (
        "1 2 b3 4 5 6 7",
        (
            "melodic minor",
            "dorian b2 = phrygian natural 6 = phrygian #6",
            "lydian augmented = lydian #5",
            "lydian dominant = lydian b7 = acoustic",
            "mixolydian b6 = melodic major",
            "locrian natural 2 = locrian #2 = aeolian b5 = half-diminished",
            "altered = super locrian = superlocrian",
        ),
    ),
    (
        "1 2 3 4 5 b6 7",
        (
            "harmonic major",
            "dorian b5",
            "phrygian b4",
            "lydian b3 = lydian diminished",
            "mixolydian b2",
            "lydian augmented #2",
            "locrian bb7",
        ),
    ),
    (
        "1 b2 3 4 5 b6 7",
        (
            "double harmonic = double harmonic major",
            "lydian #2 #6",
            "ultraphrygian",
            "hungarian minor = double harmonic minor",
            "mixolydian b2 b5",
            "ionian #2 #5",
            "locrian bb3 bb7",
        ),
    ),
    (
        "1 2 3 5 6",
        (
            "major pentatonic",
            "suspended pentatonic",
            "",
            "",
            "minor pentatonic",
        ),
    ),
)

_SINGLE: Final = (
    ("blues = minor blues", "1 b3 4 b5 5 b7"),
    ("major blues", "1 2 b3 3 5 6"),
    ("whole-tone", "1 2 3 #4 #5 #6"),
    ("half-whole octatonic = octatonic half-whole = half-whole diminished", "1 b2 #2 3 #4 5 6 b7"),
    (
        "whole-half octatonic = octatonic whole-half = whole-half diminished = diminished",
        "1 2 b3 4 b5 b6 6 7",
    ),
    ("augmented = hexatonic", "1 #2 3 5 #5 7"),
    ("neapolitan minor", "1 b2 b3 4 5 b6 7"),
    ("neapolitan major", "1 b2 b3 4 5 6 7"),
    ("bebop dominant", "1 2 3 4 5 6 b7 7"),
    ("bebop major", "1 2 3 4 5 b6 6 7"),
    ("chromatic", "1 #1 2 #2 3 4 #4 5 #5 6 #6 7"),
)

_DESCENDING: Final = {
    "melodic minor": "1 2 b3 4 5 b6 b7",
    "chromatic": "1 b2 2 b3 3 4 b5 5 b6 6 b7 7",
}
"""Scales that come down by other notes than they rise by, written upwards all the same."""

AMBIGUOUS: Final = {
    "octatonic": ("half-whole octatonic", "whole-half octatonic"),
    "pentatonic": ("major pentatonic", "minor pentatonic"),
}
"""Names that two scales share."""


@dataclass(frozen=True, slots=True)
class ScaleKind:
    """A scale without its tonic."""

    name: str
    aliases: tuple[str, ...]
    rising: tuple[Interval, ...]
    """Intervals above the tonic, the unison first, the octave left out."""
    falling: tuple[Interval, ...]
    """The same for the way down, written upwards; mostly equal to `rising`."""


def degree_text(interval: Interval) -> str:
    """Write an interval as a degree of the major scale: `b3`, `#4`, `3(-50)`."""
    signs, rest = nearest_accidentals(interval.altered)
    sign = ("#" if signs > 0 else "b") * abs(signs)
    return f"{sign}{interval.number}" + (f"({rest:+d})" if rest else "")


def _intervals(degrees: str) -> tuple[Interval, ...]:
    """Read degrees such as `1 2 b3` as intervals above the tonic."""
    intervals = []
    for degree in degrees.split():
        sign = degree.rstrip("0123456789")
        altered = 100 * (sign.count("#") - sign.count("b"))
        intervals.append(Interval.of_degree(int(degree[len(sign) :]), altered))
    return tuple(intervals)


def _rotated(intervals: tuple[Interval, ...], start: int) -> tuple[Interval, ...]:
    """Begin the same notes on another of them."""
    turned = intervals[start:] + tuple(each + _OCTAVE for each in intervals[:start])
    return tuple(each - intervals[start] for each in turned)


def _kinds(entry: str, rising: tuple[Interval, ...]) -> list[ScaleKind]:
    """Read one entry: scales of the same notes apart by ` / `, aliases by ` = `."""
    kinds = []
    for names in entry.split(" / "):
        name, *aliases = names.split(" = ")
        falling = _intervals(_DESCENDING[name]) if name in _DESCENDING else rising
        kinds.append(ScaleKind(name, tuple(aliases), rising, falling))
    return kinds


def _table() -> tuple[ScaleKind, ...]:
    kinds = []
    for degrees, entries in _FAMILIES:
        parent = _intervals(degrees)
        for start, entry in enumerate(entries):
            if entry:
                kinds += _kinds(entry, _rotated(parent, start))
    for entry, degrees in _SINGLE:
        kinds += _kinds(entry, _intervals(degrees))
    return tuple(kinds)


SCALE_KINDS: Final = _table()
"""Every scale known by name, families of modes first."""


def plain_name(text: str) -> str:
    """Bring a scale's name to the form of the table: small letters, plain signs, no hyphens."""
    signs = text.lower().replace("♯", "#").replace("♭", "b").replace("♮", "natural ")
    return " ".join(re.sub(r"(?<=[a-z])-(?=[a-z])", " ", signs).split())
