"""Spelled pitch: a letter, an alteration in cents and, for a pitch that sounds, an octave.

Octaves are those of scientific pitch notation (ANSI/ASA S1.1, after Young 1939): C4 is middle C,
and the octave belongs to the letter, so Cb4 sounds as B3. Two pitches are equal only when they are
spelled alike: `B#3 == C4` is false though they sound the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache, total_ordering
from typing import TYPE_CHECKING

from stavewright.theory.interval import Interval, half_steps
from stavewright.theory.interval_names import DIATONIC_CENTS
from stavewright.theory.pitch_text import (
    nearest_accidentals,
    read_name,
    read_pitch,
    scan,
    spell,
    spell_signs,
)

if TYPE_CHECKING:
    from fractions import Fraction

_A4_CENTS = 4 * 1200 + DIATONIC_CENTS[5]
_FIFTHS_FROM_C = (0, 2, 4, -1, 1, 3, 5)
"""Where C D E F G A B stand on the line of fifths … F C G D A E B …, counted from C."""


_PLACES = {"C": 0, "D": 1, "E": 2, "F": 3, "G": 4, "A": 5, "B": 6}


class Letter(StrEnum):
    """The seven letters, each equal to its text; in order from C, where the octave begins."""

    C = "C"
    D = "D"
    E = "E"
    F = "F"
    G = "G"
    A = "A"
    B = "B"

    @property
    def place(self) -> int:
        """0 for C to 6 for B."""
        # `_value_` is what `value` reads, without its descriptor: this is the hottest line of all.
        return _PLACES[self._value_]

    @property
    def cents(self) -> int:
        """Cents of the natural note above C."""
        return DIATONIC_CENTS[self.place]

    @property
    def semitone(self) -> int:
        """Half steps of the natural note above C."""
        return DIATONIC_CENTS[self.place] // 100

    # Enumerations hash by a call in Python; this is the same number.
    __hash__ = str.__hash__

    # As text they would be in the order of the alphabet.

    def __lt__(self, other: str) -> bool:
        return self.place < Letter(other).place

    def __le__(self, other: str) -> bool:
        return self.place <= Letter(other).place

    def __gt__(self, other: str) -> bool:
        return self.place > Letter(other).place

    def __ge__(self, other: str) -> bool:
        return self.place >= Letter(other).place


_LETTERS = tuple(Letter)
_LETTERS_BY_FIFTHS = tuple(Letter[name] for name in "FCGDAEB")


@total_ordering
@dataclass(frozen=True, slots=True)
class PitchName:
    """A note's name without an octave, as keys and chords are spelled: `F##`, `Bb`.

    Names are ordered by sound from C upwards, then by letter. A name never equals a pitch.
    """

    letter: Letter
    cents_altered: int = 0
    """Cents above the natural letter: 100 for a sharp, -50 for a half flat."""

    @classmethod
    def parse(cls, text: str) -> PitchName:
        """Read `C#`, `Bbb`, `F♯`, `B(-50)`; raises TheoryError with a place and a suggestion."""
        return _parse_name(text)

    @classmethod
    def scan(cls, text: str, start: int = 0) -> tuple[PitchName, int] | None:
        """Read the longest name that begins at `start`: (name, offset after it), or None.

        Cents in parentheses are left alone: in a chord symbol they belong to the symbol.
        """
        found = scan(text, start)
        if found is None:
            return None
        letter, altered, end = found
        return cls(Letter[letter], altered), end

    @classmethod
    def from_fifths(cls, fifths: int) -> PitchName:
        """Give the name that stands `fifths` perfect fifths above C: 6 is F#, -2 is Bb."""
        sharps, place = divmod(fifths + 1, 7)
        return cls(_LETTERS_BY_FIFTHS[place], 100 * sharps)

    @property
    def accidentals(self) -> int:
        """Whole accidentals that stand with it: 2 for a double sharp, -1 for a flat.

        Of a microtonal name the nearest; half-way cases lean to the natural.
        """
        return nearest_accidentals(self.cents_altered)[0]

    @property
    def fifths(self) -> int:
        """Place on the line of fifths, counted from C by its `accidentals`: F# is 6, Bb is -2."""
        return _FIFTHS_FROM_C[self.letter.place] + 7 * self.accidentals

    @property
    def spelled(self) -> str:
        """Plain text that `parse` reads back: `C##`, `Bb(-50)`."""
        return spell(self.letter, self.cents_altered)

    @property
    def display(self) -> str:
        """For readers, with the signs ♯ ♭ 𝄪 𝄫."""
        return spell_signs(self.letter, self.cents_altered)

    @property
    def cents(self) -> int:
        """Cents of its sound above C, from 0 to 1199."""
        return (DIATONIC_CENTS[_PLACES[self.letter._value_]] + self.cents_altered) % 1200

    @property
    def pitch_class(self) -> int | Fraction:
        """Half steps of its sound above C: 0 to 11, a fraction for a quarter tone."""
        return half_steps(self.cents)

    @property
    def is_microtonal(self) -> bool:
        """Whether it lies between the twelve keys of the octave."""
        return self.cents_altered % 100 != 0

    def at(self, octave: int) -> Pitch:
        """Give the pitch of this name in an octave."""
        return Pitch(self.letter, self.cents_altered, octave)

    def above(self, low: Pitch) -> Pitch:
        """Give the lowest pitch of this name that is no lower by letter than `low`."""
        return self.at(low.octave + (self.letter.place < low.letter.place))

    def sounds_like(self, other: PitchName) -> bool:
        """Whether both are one sound in equal temperament, whatever the spelling."""
        return self.cents == other.cents

    def interval_to(self, other: PitchName) -> Interval:
        """Give the interval from this name up to the next `other`, an octave at most.

        A lowered note of the same letter lies above as a diminished octave.
        """
        steps = (other.letter.place - self.letter.place) % 7
        cents = (other.letter.cents - self.letter.cents) % 1200
        cents += other.cents_altered - self.cents_altered
        if steps == 0 and cents < 0:
            return Interval(7, cents + 1200)
        return Interval(steps, cents)

    def __add__(self, interval: Interval) -> PitchName:
        if not isinstance(interval, Interval):
            return NotImplemented
        octaves, index = divmod(self.letter.place + interval.steps, 7)
        natural = octaves * 1200 + DIATONIC_CENTS[index]
        cents = self.letter.cents + self.cents_altered + interval.cents
        return PitchName(_LETTERS[index], cents - natural)

    def __sub__(self, interval: Interval) -> PitchName:
        if not isinstance(interval, Interval):
            return NotImplemented
        return self + -interval

    def __lt__(self, other: PitchName) -> bool:
        if not isinstance(other, PitchName):
            return NotImplemented
        return (self.cents, self.letter.place, self.cents_altered) < (
            other.cents,
            other.letter.place,
            other.cents_altered,
        )

    def __str__(self) -> str:
        return self.spelled


# Names are few, and each note is asked for its own again and again.
_name_of = lru_cache(maxsize=512)(PitchName)


@lru_cache(maxsize=256)
def _parse_name(text: str) -> PitchName:
    letter, altered = read_name(text)
    return _name_of(Letter[letter], altered)


@total_ordering
@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled pitch that sounds in an octave. Ordered by sound, then by place on the staff."""

    letter: Letter
    cents_altered: int
    """Cents above the natural letter: 100 for a sharp, -50 for a half flat."""
    octave: int
    """Octave of the letter; C4 is middle C."""

    @classmethod
    def parse(cls, text: str) -> Pitch:
        """Read `C##4`, `Bb(-50)4`, `F♯-1`; raises TheoryError with a place and a suggestion.

        Octaves run from -1 to 10 and accidentals to six of a kind; arithmetic may go further.
        """
        letter, altered, octave = read_pitch(text)
        return cls(Letter[letter], altered, octave)

    @property
    def name(self) -> PitchName:
        """The name without the octave."""
        return _name_of(self.letter, self.cents_altered)

    @property
    def spelled(self) -> str:
        """The name's plain text, without the octave: `C##`."""
        return spell(self.letter, self.cents_altered)

    @property
    def display(self) -> str:
        """For readers: `C♯4`."""
        return f"{spell_signs(self.letter, self.cents_altered)}{self.octave}".replace("-", "−")

    @property
    def staff_position(self) -> int:
        """Letters above C0: one for each line and space of a staff."""
        return self.octave * 7 + self.letter.place

    @property
    def cents(self) -> int:
        """Cents of its sound above C0, exact in equal temperament."""
        natural = DIATONIC_CENTS[_PLACES[self.letter._value_]]
        return self.octave * 1200 + natural + self.cents_altered

    @property
    def pitch_class(self) -> int | Fraction:
        """Half steps of its sound above C: 0 to 11, a fraction for a quarter tone."""
        return self.name.pitch_class

    @property
    def key_number(self) -> float:
        """MIDI's note number, 60.0 for C4; between two keys for a quarter tone."""
        return self.cents / 100 + 12

    def hertz(self, a4: float = 440.0) -> float:
        """Give the frequency in equal temperament, from that of A4 (440 Hz in ISO 16)."""
        return float(a4 * 2 ** ((self.cents - _A4_CENTS) / 1200))

    def interval_to(self, other: Pitch) -> Interval:
        """Give the interval from this pitch to another, downwards where the other is lower."""
        return Interval(other.staff_position - self.staff_position, other.cents - self.cents)

    def sounds_like(self, other: Pitch) -> bool:
        """Whether both are one sound in equal temperament, whatever the spelling."""
        return self.cents == other.cents

    def __add__(self, interval: Interval) -> Pitch:
        if not isinstance(interval, Interval):
            return NotImplemented
        place = _PLACES[self.letter._value_]
        octaves, index = divmod(place + interval.steps, 7)
        natural = octaves * 1200 + DIATONIC_CENTS[index] - DIATONIC_CENTS[place]
        altered = self.cents_altered + interval.cents - natural
        return Pitch(_LETTERS[index], altered, self.octave + octaves)

    def __sub__(self, interval: Interval) -> Pitch:
        if not isinstance(interval, Interval):
            return NotImplemented
        return self + -interval

    def __lt__(self, other: Pitch) -> bool:
        if not isinstance(other, Pitch):
            return NotImplemented
        return (self.cents, self.staff_position) < (other.cents, other.staff_position)

    def __str__(self) -> str:
        return f"{self.spelled}{self.octave}"
