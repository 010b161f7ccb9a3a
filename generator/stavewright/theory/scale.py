"""Scales: named ones from the table, and scales given as steps in cents, always spelled."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from itertools import accumulate
from typing import Final

from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.pitch import Pitch, PitchName
from stavewright.theory.scale_kinds import (
    AMBIGUOUS,
    SCALE_KINDS,
    ScaleKind,
    degree_text,
    plain_name,
)

_BY_NAME: Final = {
    plain_name(name): kind for kind in SCALE_KINDS for name in (kind.name, *kind.aliases)
}
_OCTAVE: Final = Interval.of_degree(8)
_DEFAULT_OCTAVE: Final = 4
_SCALE: Final = re.compile(r"\s*(?P<tonic>\S+)(?:\s+(?P<kind>\S.*?))?\s*")
_STEPS: Final = re.compile(r"steps((?:\s+[0-9]{1,4})+)")
_MOST_STEPS: Final = 100
_CHROMATIC: Final = tuple(
    Interval.of_degree(number, altered)
    for number, altered in (
        (1, 0),
        (2, -100),
        (2, 0),
        (3, -100),
        (3, 0),
        (4, 0),
        (4, 100),
        (5, 0),
        (6, -100),
        (6, 0),
        (7, -100),
        (7, 0),
        (8, 0),
    )
)
"""The usual spelling of the twelve half steps above a tonic, for scales given in cents."""


@dataclass(frozen=True, slots=True)
class Scale:
    """A tonic and the notes above it."""

    tonic: PitchName
    octave: int | None
    """Octave of the tonic, where the text gave one."""
    name: str
    """Name without the tonic: `dorian`, `steps 200 150 …`."""
    intervals: tuple[Interval, ...]
    """Intervals above the tonic on the way up: the unison first, the closing note left out."""
    falling: tuple[Interval, ...]
    """The same for the way down, written upwards; other notes in the melodic minor."""
    closing: Interval = _OCTAVE
    """Interval from the tonic to the note that closes the scale; an octave but in odd tunings."""

    @classmethod
    def parse(cls, text: str) -> Scale:
        """Read `D dorian`, `D4 dorian` or `C4 steps 200 150 150 …` (cents); raises TheoryError."""
        match = _SCALE.fullmatch(text)
        if match is None:
            raise TheoryError("Here stands a scale such as D dorian", text)
        tonic, octave = _read_tonic(text, match)
        if match["kind"] is None:
            message = f"Which scale on {match['tonic']}? Name it, as in D dorian"
            raise TheoryError(message, text, *match.span("tonic"), f"{match['tonic']} major")
        word = plain_name(match["kind"])
        if word.split()[0] == "steps":
            intervals, closing = _read_steps(text, match, word)
            return cls(tonic, octave, word, intervals, intervals, closing)
        kind = _read_kind(text, match, word)
        return cls(tonic, octave, kind.name, kind.rising, kind.falling)

    @property
    def names(self) -> tuple[PitchName, ...]:
        """The notes upwards from the tonic, which is not repeated."""
        return tuple(self.tonic + interval for interval in self.intervals)

    @property
    def spelling(self) -> tuple[str, ...]:
        """The notes spelled, upwards from the tonic: `D E F G A B C`."""
        return tuple(name.spelled for name in self.names)

    @property
    def falling_names(self) -> tuple[PitchName, ...]:
        """The notes of the way down, from the tonic downwards."""
        return tuple(self.tonic + each for each in (self.closing, *reversed(self.falling[1:])))

    @property
    def degrees(self) -> tuple[str, ...]:
        """The notes as degrees of the major scale on the tonic: `1 2 b3 …`."""
        return tuple(degree_text(interval) for interval in self.intervals)

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """The scale upwards to its closing note; from octave 4 where the text gave none."""
        low = self.tonic.at(_DEFAULT_OCTAVE if self.octave is None else self.octave)
        return tuple(low + interval for interval in (*self.intervals, self.closing))

    @property
    def falling_pitches(self) -> tuple[Pitch, ...]:
        """The scale downwards from its closing note to the tonic."""
        low = self.tonic.at(_DEFAULT_OCTAVE if self.octave is None else self.octave)
        return tuple(low + interval for interval in (self.closing, *reversed(self.falling)))

    def contains(self, name: PitchName) -> bool:
        """Whether the note, so spelled, is in the scale on its way up or down."""
        return any(name == self.tonic + interval for interval in self.intervals + self.falling)

    @property
    def display(self) -> str:
        """For readers: `F♯ dorian`."""
        octave = "" if self.octave is None else str(self.octave).replace("-", "−")
        return f"{self.tonic.display}{octave} {self.name}"

    def __str__(self) -> str:
        octave = "" if self.octave is None else str(self.octave)
        return f"{self.tonic.spelled}{octave} {self.name}"


def _read_tonic(text: str, match: re.Match[str]) -> tuple[PitchName, int | None]:
    word = match["tonic"]
    try:
        if word[-1].isdecimal():
            pitch = Pitch.parse(word)
            return pitch.name, pitch.octave
        return PitchName.parse(word), None
    except TheoryError as fault:
        raise fault.within(text, match.start("tonic")) from None


def _read_kind(text: str, match: re.Match[str], word: str) -> ScaleKind:
    if word in _BY_NAME:
        return _BY_NAME[word]
    place = match.start("kind"), match.end("kind")
    if word in AMBIGUOUS:
        one, other = AMBIGUOUS[word]
        raise TheoryError(f"{word.capitalize()} may be {one} or {other}", text, *place, one)
    plain = word.removesuffix(" scale").removesuffix(" mode")
    near = [plain] if plain in _BY_NAME else difflib.get_close_matches(plain, _BY_NAME, 1)
    raise TheoryError(
        f"No scale is known here as {match['kind']!r}; any scale can be given in cents, as in "
        "C4 steps 200 150 150 200 200 150 150",
        text,
        *place,
        _BY_NAME[near[0]].name if near else None,
    )


def _read_steps(
    text: str, match: re.Match[str], word: str
) -> tuple[tuple[Interval, ...], Interval]:
    place = match.start("kind"), match.end("kind")
    found = _STEPS.fullmatch(word)
    if found is None:
        message = "Steps are whole numbers of cents, as in steps 200 150 150 200 200 150 150"
        plain = " ".join(re.sub(r",|\bcents?\b|¢", " ", word).split())
        raise TheoryError(message, text, *place, plain if _STEPS.fullmatch(plain) else None)
    steps = [int(step) for step in found[1].split()]
    if min(steps) < 1 or len(steps) > _MOST_STEPS:
        message = f"A scale has up to {_MOST_STEPS} steps, each of one cent or more"
        raise TheoryError(message, text, *place)
    *inner, total = accumulate(steps)
    closing = _OCTAVE if total == _OCTAVE.cents else _nearest(total)
    return (Interval(0, 0), *_spelled(inner)), closing


def _spelled(heights: list[int]) -> list[Interval]:
    """Spell heights above a tonic: seven notes on seven letters where that is near enough."""
    letters = [Interval(steps, cents) for steps, cents in enumerate(heights, 1)]
    # A whole step and a half is where the next letter would be the nearer one in any scale.
    if len(heights) == 6 and all(abs(each.altered) <= 150 for each in letters):
        return letters
    return [_nearest(cents) for cents in heights]


def _nearest(cents: int) -> Interval:
    """Spell a height as the nearest half step; between two, as the one without an accidental."""
    octaves, within = divmod(cents, 1200)
    near = min(_CHROMATIC, key=lambda each: (abs(each.cents - within), abs(each.altered)))
    return Interval(near.steps + 7 * octaves, cents)
