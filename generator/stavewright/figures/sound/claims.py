"""Claims in the prose, heard: what the subject of a claim sounds like.

A name without an octave sounds in octave 4, a chord in close position, an interval as its two notes
and then both at once; an interval without notes stands on C4. A rhythm is clicked at 96 quarters a
minute: each value as it begins, and a lower click where the last one ends.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.figures.timeline import DEFAULT_TEMPO, seconds_per_whole
from stavewright.notation.claim import Between, Claim, NumeralIn, Sign, Values
from stavewright.notation.realise import chord_pitches, scale_pitches
from stavewright.theory import Chord, Interval, Key, Pitch, PitchName, Scale, TheoryError

_OCTAVE: Final = 4
_STEP: Final = 400_000
_CHORD: Final = 1_600_000
_NOTE: Final = 1_200_000
"""Microseconds that a note of a scale, a chord, and a note alone last."""
_BEGIN_CLICK, _END_CLICK = 75, 77
"""Claves, and the low wood block."""
_PAUSE: Final = Fraction(1, 4)
_LONGEST: Final = Fraction(4)
"""Whole notes that a rhythm is clicked for, on one side."""
_TONIC: Final = Interval.of_degree(8)
_MIDDLE_C: Final = PitchName.parse("C").at(_OCTAVE)


@dataclass(frozen=True, slots=True)
class ClaimNote:
    """One note of a claim's sound."""

    pitch: Pitch
    start: int
    """Microseconds, as `length`."""
    length: int


@dataclass(frozen=True, slots=True)
class ClaimClick:
    """One click of a rhythm."""

    name: str
    """The value that begins; empty for the click that ends the last one."""
    key: int
    """Of a percussion instrument in General MIDI's map."""
    start: int
    """Microseconds, as `length`."""
    length: int


@dataclass(frozen=True, slots=True)
class ClaimSound:
    """What a claim sounds like, from A4 at 440 Hz."""

    notes: tuple[ClaimNote, ...]
    clicks: tuple[ClaimClick, ...] = ()

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """Each pitch once, in the order it is first heard."""
        return tuple(dict.fromkeys(note.pitch for note in self.notes))


def perform_claim(claim: Claim) -> ClaimSound | None:
    """The sound of a claim's subject; None for one that cannot be read, or is too long a rhythm."""
    subject = claim.subject
    if isinstance(subject, Pitch | PitchName):
        return _row([_sounding(subject)], _NOTE)
    if isinstance(subject, Values):
        return _rhythm(claim, subject)
    if isinstance(subject, Between):
        return _interval(*_between(subject))
    if isinstance(subject, Interval):
        return _interval(_MIDDLE_C, _MIDDLE_C + subject)
    if isinstance(subject, Scale):
        return _row(scale_pitches(subject), _STEP)
    if isinstance(subject, Key):
        return _row(_key_pitches(subject), _STEP)
    chord = _chord(subject) if isinstance(subject, NumeralIn) else subject
    return _together(chord_pitches(chord)) if isinstance(chord, Chord) else None


def _sounding(note: Pitch | PitchName) -> Pitch:
    return note if isinstance(note, Pitch) else note.at(_OCTAVE)


def _between(between: Between) -> tuple[Pitch, Pitch]:
    low = _sounding(between.low)
    if isinstance(between.high, Pitch):
        return low, between.high
    return low, low + low.name.interval_to(between.high)


def _key_pitches(key: Key) -> list[Pitch]:
    low = key.tonic.at(_OCTAVE)
    return [*(name.above(low) for name in key.names), low + _TONIC]


def _chord(subject: NumeralIn) -> Chord | None:
    try:
        return subject.numeral.chord(subject.key)
    except TheoryError:
        return None


def _row(pitches: list[Pitch] | tuple[Pitch, ...], step: int) -> ClaimSound:
    return ClaimSound(tuple(ClaimNote(p, at * step, step) for at, p in enumerate(pitches)))


def _together(pitches: tuple[Pitch, ...]) -> ClaimSound:
    return ClaimSound(tuple(ClaimNote(pitch, 0, _CHORD) for pitch in pitches))


def _interval(low: Pitch, high: Pitch) -> ClaimSound:
    half = _NOTE // 2
    apart = [ClaimNote(low, 0, half), ClaimNote(high, half, half)]
    both = [ClaimNote(pitch, _NOTE, _NOTE) for pitch in (low, high)]
    return ClaimSound((*apart, *both))


def _rhythm(claim: Claim, values: Values) -> ClaimSound | None:
    """One side of a claim about a rhythm, and after a quarter's pause the other that it equals."""
    sides = [values]
    if claim.sign is Sign.EQUAL and isinstance(claim.statement, Values):
        sides.append(claim.statement)
    if any(side.total > _LONGEST for side in sides):
        return None
    clicks: list[ClaimClick] = []
    at = Fraction(0)
    for number, side in enumerate(sides):
        for place, value in enumerate(side.values):
            sign = "= " if number and not place else ""
            clicks.append(_click(f"{sign}{value}", _BEGIN_CLICK, at, value))
            at += value
        clicks.append(_click("", _END_CLICK, at, _PAUSE))
        at += _PAUSE
    return ClaimSound((), tuple(clicks))


def _click(name: str, key: int, at: Fraction, value: Fraction) -> ClaimClick:
    """A click, from whole notes to the nearest microseconds."""
    whole = seconds_per_whole(DEFAULT_TEMPO) * 1_000_000
    return ClaimClick(name, key, round(at * whole), round(value * whole))
