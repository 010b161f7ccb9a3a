"""The small values a chord is made of: tones, things said twice, demands on the spacing."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from stavewright.theory.interval import Interval

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stavewright.theory.pitch import Pitch, PitchName

_DEGREE: Final = re.compile(r"([b#]*)(\d+)")


class Role(Enum):
    """Whether a label is wrong when the tone does not sound."""

    REQUIRED = "required"
    """The tone defines the chord: third, suspended tone, seventh, sixth, altered, added tone."""
    OPTIONAL = "optional"
    """Players leave it out: a perfect fifth, the root of a seventh chord, the eleventh of a C13."""


@dataclass(frozen=True, slots=True)
class ChordTone:
    """One tone of a chord, seen from its root."""

    degree: str
    """As players count it against the major scale: `b7`, `#11`."""
    number: int
    """The degree without its sign, 1 to 13."""
    interval: Interval
    """From the root upwards; from the bass in an augmented sixth, which has no agreed root."""
    name: PitchName
    role: Role

    @property
    def is_required(self) -> bool:
        """Whether the chord is not this chord without it."""
        return self.role is Role.REQUIRED


@dataclass(frozen=True, slots=True)
class Redundancy:
    """Something a symbol says that it has already said, or that has no effect."""

    what: str
    """The part that could go, as written."""
    meaning: str
    """Why it says nothing, in a sentence without its full stop."""
    suggestion: str
    """The whole symbol without it."""


class Place(Enum):
    """Where a symbol asks that a tone lie."""

    ABOVE_THE_OCTAVE = "at least an octave above the root"
    WITHIN_THE_OCTAVE = "within the octave above a root"


@dataclass(frozen=True, slots=True)
class VoicingRule:
    """A demand on the spacing, made by the numbers of an added tone.

    Cadd9 and Cadd2 have the same notes; only where the D lies tells them apart. The ninth of a C9
    makes no such demand: it may lie anywhere (common practice, no source).
    """

    tone: PitchName
    root: PitchName
    place: Place
    otherwise: str
    """The symbol that would fit notes which break the rule."""

    @property
    def words(self) -> str:
        """The rule as a sentence without its full stop."""
        return f"the added {self.tone.spelled} lies {self.place.value}"

    def holds_for(self, pitches: Iterable[Pitch]) -> bool:
        """Whether these sounding pitches obey; true where tone or root does not sound."""
        sounding = tuple(pitches)
        roots = [pitch.staff_position for pitch in sounding if pitch.name == self.root]
        tones = [pitch.staff_position for pitch in sounding if pitch.name == self.tone]
        if not roots or not tones:
            return True
        if self.place is Place.ABOVE_THE_OCTAVE:
            return any(tone - min(roots) > 7 for tone in tones)
        return any(0 < tone - root < 7 for tone in tones for root in roots)


@lru_cache(maxsize=256)
def read_degree(text: str) -> tuple[int, int]:
    """Split `b7` into its number and its alteration in half steps: (7, -1)."""
    match = _DEGREE.fullmatch(text)
    if match is None:
        raise ValueError(f"not a degree: {text!r}")
    signs = match[1]
    return int(match[2]), signs.count("#") - signs.count("b")


@lru_cache(maxsize=256)
def degree_interval(text: str) -> Interval:
    """Give the interval from the root to a degree: `#11` is an augmented eleventh."""
    number, altered = read_degree(text)
    return Interval.of_degree(number, altered * 100)


def degree_of(interval: Interval) -> str:
    """Give the degree an interval above the root is counted as: a minor seventh is `b7`."""
    signs = interval.altered // 100
    return ("#" if signs > 0 else "b") * abs(signs) + str(interval.number)
