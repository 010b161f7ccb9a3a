"""Keys: a tonic and a mode, with the signature and the spelling that follow from them.

A signature is counted on the line of fifths and has no end: G# major has eight sharps, of which F
is a double sharp. A mode has the signature of the major scale with the same notes. Fifteen major
and fifteen minor keys stay within seven accidentals; beyond them a key is theoretical, that is,
right to think in and rarely printed.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.key_text import read_key
from stavewright.theory.pitch import PitchName

MOST_IN_PRINT = 7
"""Accidentals that fit a printed signature: one for each letter."""


class Mode(StrEnum):
    """Major, minor, and the seven modes by the names current since Glarean (1547)."""

    MAJOR = "major"
    MINOR = "minor"
    IONIAN = "ionian"
    DORIAN = "dorian"
    PHRYGIAN = "phrygian"
    LYDIAN = "lydian"
    MIXOLYDIAN = "mixolydian"
    AEOLIAN = "aeolian"
    LOCRIAN = "locrian"

    @property
    def signature_shift(self) -> int:
        """Sharps more (or fewer, if negative) than the major key on the same tonic."""
        return _SIGNATURE_SHIFTS[self]

    @property
    def has_major_third(self) -> bool:
        """Whether its third degree lies a major third above the tonic."""
        return self.signature_shift > -2


_SIGNATURE_SHIFTS = {
    Mode.LYDIAN: 1,
    Mode.MAJOR: 0,
    Mode.IONIAN: 0,
    Mode.MIXOLYDIAN: -1,
    Mode.DORIAN: -2,
    Mode.MINOR: -3,
    Mode.AEOLIAN: -3,
    Mode.PHRYGIAN: -4,
    Mode.LOCRIAN: -5,
}


class Relation(StrEnum):
    """How another key stands to this one."""

    RELATIVE = "relative"
    """The same notes: minor for major, and major for minor and for every mode."""
    PARALLEL = "parallel"
    """The same tonic: minor for a key with a major third, major for one with a minor third."""
    DOMINANT = "dominant"
    """The same mode, a perfect fifth higher: one more sharp or one flat fewer."""
    SUBDOMINANT = "subdominant"
    """The same mode, a perfect fifth lower."""


@dataclass(frozen=True, slots=True)
class Key:
    """A tonic and a mode. Raises TheoryError for a tonic between the twelve keys of the octave."""

    tonic: PitchName
    mode: Mode

    def __post_init__(self) -> None:
        if self.tonic.is_microtonal:
            raise TheoryError(
                "A key signature has no sign for a tonic in quarter tones; write a scale instead",
                self.tonic.spelled,
            )

    @classmethod
    def parse(cls, text: str) -> Key:
        """Read `D# major` or `Db dorian`; raises TheoryError with a place and a suggestion."""
        tonic, mode = read_key(text, tuple(each.value for each in Mode))
        return cls(tonic, Mode(mode))

    @classmethod
    def of_signature(cls, signature: int, mode: Mode = Mode.MAJOR) -> Key:
        """Give the key of a mode that has so many sharps (positive) or flats (negative)."""
        return cls(PitchName.from_fifths(signature - mode.signature_shift), mode)

    @property
    def signature(self) -> int:
        """Sharps (positive) or flats (negative); a double sharp counts as two."""
        return self.tonic.fifths + self.mode.signature_shift

    @property
    def signature_names(self) -> tuple[PitchName, ...]:
        """The altered notes in a signature's order: F# C# …, Bb Eb …, in G# major F## C# G# …."""
        count = abs(self.signature)
        # Sharps begin on F and rise by fifths; flats begin on B and fall by them.
        first, step, direction = (-1, 1, 1) if self.signature > 0 else (5, -1, -1)
        names = []
        for place in range(min(count, 7)):
            letter = PitchName.from_fifths(first + step * place).letter
            times = count // 7 + (place < count % 7)
            names.append(PitchName(letter, direction * 100 * times))
        return tuple(names)

    @property
    def is_theoretical(self) -> bool:
        """Whether its signature needs more than seven accidentals."""
        return abs(self.signature) > MOST_IN_PRINT

    @property
    def names(self) -> tuple[PitchName, ...]:
        """The seven notes upwards from the tonic."""
        return _names(self)

    @property
    def spelling(self) -> tuple[str, ...]:
        """The seven notes spelled, upwards from the tonic: `D# E# F## G# A# B# C##`."""
        return tuple(name.spelled for name in self.names)

    @property
    def practical(self) -> Key:
        """The same key as it is printed: itself, or where theoretical its enharmonic equal.

        The equal has at most six accidentals; of F sharp and G flat the one on the same side.
        """
        if not self.is_theoretical:
            return self
        signature = (self.signature + 6) % 12 - 6
        if signature == -6 and self.signature > 0:
            signature = 6
        return Key.of_signature(signature, self.mode)

    def related(self, relation: str) -> Key:
        """Give the `relative`, `parallel`, `dominant` or `subdominant` key; see Relation."""
        try:
            how = Relation(relation)
        except ValueError:
            names = ", ".join(each.value for each in Relation)
            raise TheoryError(f"Keys are related as one of {names}", relation) from None
        if how is Relation.PARALLEL:
            return Key(self.tonic, Mode.MINOR if self.mode.has_major_third else Mode.MAJOR)
        if how is Relation.RELATIVE:
            is_major = self.mode in (Mode.MAJOR, Mode.IONIAN)
            return Key.of_signature(self.signature, Mode.MINOR if is_major else Mode.MAJOR)
        fifth = Interval.of_degree(5)
        tonic = self.tonic + fifth if how is Relation.DOMINANT else self.tonic - fifth
        return Key(tonic, self.mode)

    def contains(self, name: PitchName) -> bool:
        """Whether the note, so spelled, is one of the seven."""
        return name in self.names

    def degree(self, name: PitchName) -> tuple[int, int]:
        """Give the degree (1 to 7) on the note's letter, and its cents above that degree.

        In C minor B is (7, 100): the raised seventh.
        """
        degree = (name.letter.place - self.tonic.letter.place) % 7
        return degree + 1, name.cents_altered - self.names[degree].cents_altered

    @property
    def display(self) -> str:
        """For readers: `D♯ major`."""
        return f"{self.tonic.display} {self.mode.value}"

    def __str__(self) -> str:
        return f"{self.tonic.spelled} {self.mode.value}"


@lru_cache(maxsize=512)
def _names(key: Key) -> tuple[PitchName, ...]:
    """Give the seven notes of a key; asked for at every note that is looked at in it."""
    lowest = key.signature - 1
    names = (PitchName.from_fifths(fifths) for fifths in range(lowest, lowest + 7))
    first = key.tonic.letter.place
    return tuple(sorted(names, key=lambda name: (name.letter.place - first) % 7))
