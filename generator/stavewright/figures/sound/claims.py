"""Claims in the prose, heard: what the subject of a claim sounds like.

A name without an octave sounds in octave 4, a chord in close position, an interval as its two notes
and then both at once; an interval without notes stands on C4.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.notation.claim import Between, Claim, NumeralIn
from stavewright.notation.realise import chord_pitches, scale_pitches
from stavewright.theory import Chord, Interval, Key, Pitch, PitchName, Scale, TheoryError

_OCTAVE: Final = 4
_STEP: Final = Fraction(2, 5)
_CHORD: Final = Fraction(8, 5)
_NOTE: Final = Fraction(6, 5)
_TONIC: Final = Interval.of_degree(8)
_MIDDLE_C: Final = PitchName.parse("C").at(_OCTAVE)


@dataclass(frozen=True, slots=True)
class ClaimNote:
    """One note of a claim's sound."""

    pitch: Pitch
    seconds: Fraction
    length: Fraction


@dataclass(frozen=True, slots=True)
class ClaimSound:
    """What a claim sounds like, from A4 at 440 Hz."""

    notes: tuple[ClaimNote, ...]

    @property
    def pitches(self) -> tuple[Pitch, ...]:
        """Each pitch once, in the order it is first heard."""
        return tuple(dict.fromkeys(note.pitch for note in self.notes))


def perform_claim(claim: Claim) -> ClaimSound | None:
    """The sound of a claim's subject; None for one that has none (a rhythm), or cannot be read."""
    subject = claim.subject
    if isinstance(subject, Pitch | PitchName):
        return _row([_sounding(subject)], _NOTE)
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


def _row(pitches: list[Pitch] | tuple[Pitch, ...], step: Fraction) -> ClaimSound:
    return ClaimSound(tuple(ClaimNote(p, at * step, step) for at, p in enumerate(pitches)))


def _together(pitches: tuple[Pitch, ...]) -> ClaimSound:
    return ClaimSound(tuple(ClaimNote(pitch, Fraction(0), _CHORD) for pitch in pitches))


def _interval(low: Pitch, high: Pitch) -> ClaimSound:
    apart = [ClaimNote(low, Fraction(0), _NOTE / 2), ClaimNote(high, _NOTE / 2, _NOTE / 2)]
    both = [ClaimNote(pitch, _NOTE, _NOTE) for pitch in (low, high)]
    return ClaimSound((*apart, *both))
