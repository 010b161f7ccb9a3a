"""Clefs, transpositions and percussion as both formats count them."""

from fractions import Fraction
from typing import Final

from stavewright.notation import limits
from stavewright.notation.clefs import CLEFS, PERCUSSION
from stavewright.notation.percussion import GENERAL_MIDI_DRUMS, drum_key
from stavewright.notation.score import Drum
from stavewright.theory import Interval, Letter, Pitch

_USUAL_LINES: Final = {"G": 2, "F": 4, "C": 3}
_BY_SIGN: Final = {(clef.sign, clef.line, clef.octaves): clef.name for clef in CLEFS.values()}
_LETTERS_OF: Final = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)
"""Letters that the usual intervals of 0 to 11 half steps span: minor thirds, augmented fourths."""
_NAMES: Final = {number: name for name, number in GENERAL_MIDI_DRUMS.items()}


def clef_name(sign: str, line: int | None, octaves: int) -> str | None:
    """The name a clef has in a block; a tablature has none, a clef with an odd 8 its plain form."""
    if sign.lower() in ("percussion", "perc", "none"):
        return PERCUSSION
    shape, octaves = ("G", -1) if sign == "GG" else (sign, octaves)
    place = line if line is not None else _USUAL_LINES.get(shape, 0)
    return _BY_SIGN.get((shape, place, octaves)) or _BY_SIGN.get((shape, place, 0))


def interval_of(half_steps: Fraction, letters: int | None) -> Interval:
    """The interval of so many half steps; letters are found where the file does not count them."""
    if letters is None:
        octaves, rest = divmod(int(half_steps), 12)
        letters = 7 * octaves + _LETTERS_OF[rest]
    return Interval(letters, int(half_steps * 100))


def moved_signature(fifths: int, interval: Interval) -> int:
    """A key signature moved by an interval: up a major second has two sharps more."""
    half_steps = interval.cents // 100
    return fifths + 7 * half_steps - 12 * interval.steps


def pitch_of(letter: str, cents: Fraction, octave: int) -> Pitch | None:
    """A pitch; None for one that no staff can show."""
    if letter not in Letter.__members__ or cents.denominator != 1:
        return None
    if abs(cents) > limits.MOST_CENTS:
        return None
    return Pitch(Letter[letter], int(cents), octave)


def is_shown(pitch: Pitch) -> bool:
    """Whether a block may hold a pitch."""
    in_reach = limits.LOWEST_OCTAVE <= pitch.octave <= limits.HIGHEST_OCTAVE
    return in_reach and abs(pitch.cents_altered) <= limits.MOST_CENTS


def drum_numbered(number: int) -> Drum | None:
    """The percussion instrument with a General MIDI key number."""
    return Drum(_NAMES[number], number) if number in _NAMES else None


def drum_named(words: str) -> Drum | None:
    """The percussion instrument that a part or an instrument is named after."""
    name = "-".join(words.lower().replace("-", " ").split())
    for candidate in (name, name.removesuffix("-drum"), name.removesuffix("s")):
        found = drum_key(candidate)
        if found is not None:
            return Drum(*found)
    return None


_ORDINARY: Final = {
    -1: 44, 1: 36, 2: 41, 3: 43, 4: 45, 5: 38, 6: 48, 7: 50, 8: 51, 9: 42, 10: 49,
}  # fmt: skip
_CROSSED: Final = {-1: 44, 4: 54, 5: 37, 6: 56, 7: 42, 8: 51, 9: 42, 10: 49, 11: 52}


def drum_placed(position: int, *, cross: bool) -> Drum | None:
    """The kit's instrument at so many letters above the bottom line, by the usual drum key.

    N. Weinberg, Guide to Standardized Drumset Notation (1998), from memory.
    """
    number = (_CROSSED if cross else _ORDINARY).get(position, _ORDINARY.get(position))
    return drum_numbered(number) if number is not None else None
