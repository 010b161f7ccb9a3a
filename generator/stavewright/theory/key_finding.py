"""Finding the key of some notes by how long each pitch class sounds.

Method: the durations of the twelve pitch classes are correlated with a profile of each of the
twenty-four major and minor keys, and the keys ranked by correlation (Krumhansl & Schmuckler, in
C. L. Krumhansl, Cognitive Foundations of Musical Pitch, 1990, ch. 4). The profiles are the probe-
tone ratings of C. L. Krumhansl & E. J. Kessler, Psychological Review 89 (1982), as printed there.

The method hears pitch classes and so cannot tell D sharp from E flat. Spelling decides where it is
silent: each key takes the tonic whose notes agree best with how the notes are written. It leans to
the dominant, and a short passage is often nearer to a neighbour: read the margin before the name.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import sqrt
from typing import TYPE_CHECKING, Final

from stavewright.theory.chord_tone import degree_interval
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key, Mode
from stavewright.theory.pitch import Pitch, PitchName

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

PROFILES: Final = {
    Mode.MAJOR: (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88),
    Mode.MINOR: (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17),
}
"""How well each half step above the tonic was judged to fit, on a scale of 1 to 7."""

_MOST_SHARPS_IN_DOUBT: Final = 15
"""The remotest tonic that is tried, in fifths from C; notes beyond are triple signs."""
_CLEAR: Final = 0.05
"""A lead that is less than this decides little: about what one long note more or less changes."""


@dataclass(frozen=True, slots=True)
class KeyFit:
    """One key and how well the notes fit it."""

    key: Key
    correlation: float
    """Of durations with the key's profile: 1 fits perfectly, 0 not at all, -1 against all."""
    margin: float
    """Its lead over the next key; for all but the first how far it lies behind, negative."""
    share: Fraction
    """Part of the sounding time, 0 to 1, in notes of the key as written; minor has both its sixths
    and both its sevenths."""

    @property
    def is_clear(self) -> bool:
        """Whether it leads by enough to be named without another."""
        return self.margin >= _CLEAR

    @property
    def words(self) -> str:
        """`D minor: fits 0.91, ahead by 0.08; 97 % of the time in its notes`."""
        side = "ahead" if self.margin >= 0 else "behind"
        return (
            f"{self.key}: fits {self.correlation:.2f}, {side} by {abs(self.margin):.2f}; "
            f"{round(100 * self.share)} % of the time in its notes"
        )


def find_keys(notes: Iterable[tuple[PitchName | Pitch, Fraction]]) -> tuple[KeyFit, ...]:
    """Rank the twenty-four major and minor keys for notes with their durations, likeliest first.

    Durations are in any one unit. Quarter tones are left out, for the profiles have no place for
    them. Keys that fit equally well are ranked by `share`, then by the fewest accidentals. Raises
    TheoryError where there are no notes, or where all twelve sound equally long.
    """
    durations = _by_name(notes)
    classes = [Fraction(0)] * 12
    for name, time in durations.items():
        classes[name.cents // 100] += time
    if len(set(classes)) == 1:
        raise TheoryError(
            "No key stands out: all twelve notes sound equally long"
            if durations
            else "No notes to find a key from"
        )
    fits = [
        (round(_correlation(classes, tonic, mode), 12), _spelled(tonic, mode, durations))
        for mode in PROFILES
        for tonic in range(12)
    ]
    fits.sort(key=lambda fit: (-fit[0], -fit[1][1], abs(fit[1][0].signature), str(fit[1][0])))
    best, second = fits[0][0], fits[1][0]
    return tuple(
        KeyFit(key, correlation, best - second if place == 0 else correlation - best, share)
        for place, (correlation, (key, share)) in enumerate(fits)
    )


def _by_name(notes: Iterable[tuple[PitchName | Pitch, Fraction]]) -> dict[PitchName, Fraction]:
    """Add up how long each name sounds, quarter tones left out."""
    durations: dict[PitchName, Fraction] = {}
    for note, time in notes:
        name = note.name if isinstance(note, Pitch) else note
        if time < 0:
            raise TheoryError(f"{name} cannot sound for less than nothing", str(time))
        if time and not name.is_microtonal:
            durations[name] = durations.get(name, Fraction(0)) + time
    return durations


def _correlation(classes: Sequence[Fraction], tonic: int, mode: Mode) -> float:
    """Correlate the durations with a profile whose tonic is a pitch class (Pearson's r)."""
    profile = PROFILES[mode]
    mean = sum(profile) / 12
    level = [profile[(index - tonic) % 12] - mean for index in range(12)]
    total = sum(classes)
    # Shares of the whole keep very long and very short durations within a float's range.
    heard = [float(time / total) - 1 / 12 for time in classes]
    over = sum(h * p for h, p in zip(heard, level, strict=True))
    return over / sqrt(sum(h * h for h in heard) * sum(p * p for p in level))


def _spelled(
    tonic: int, mode: Mode, durations: Mapping[PitchName, Fraction]
) -> tuple[Key, Fraction]:
    """Give the key on a pitch class whose notes agree best with the spelling, and its share."""
    total = sum(durations.values(), Fraction(0))

    def disagreement(way: _Way) -> tuple[Fraction, Fraction, int, int]:
        share = sum((t for n, t in durations.items() if n in way.names), Fraction(0))
        # Notes outside the key still tell flats from sharps by how far off they lie.
        middle = way.key.signature + 2
        far = sum((t * abs(n.fifths - middle) for n, t in durations.items()), Fraction(0))
        return -share, far, abs(way.key.signature), -way.key.signature

    way = min(_ways(tonic, mode), key=disagreement)
    return way.key, -disagreement(way)[0] / total


@dataclass(frozen=True, slots=True)
class _Way:
    """One spelling of a key, with the notes that are at home in it."""

    key: Key
    names: frozenset[PitchName]


@cache
def _ways(tonic: int, mode: Mode) -> tuple[_Way, ...]:
    """Give the spellings of the key on a pitch class."""
    fifths = range(-_MOST_SHARPS_IN_DOUBT, _MOST_SHARPS_IN_DOUBT + 1)
    names = (PitchName.from_fifths(count) for count in fifths)
    keys = [Key(name, mode) for name in names if name.cents == 100 * tonic]
    raised = ("6", "7") if mode is Mode.MINOR else ()
    return tuple(
        _Way(key, frozenset((*key.names, *(key.tonic + degree_interval(d) for d in raised))))
        for key in keys
    )
