"""The chord of a moment, as far as the resolution of its tones goes.

Where the block labels the chord, the label says what it is. Elsewhere only a plain stack of thirds
counts: notes that all lie a third, a fifth or a seventh above one of them, by letter and by sound.
Anything else may hold passing notes, and nothing is concluded from it.
"""

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Final

from stavewright.checking.reading import chords_of
from stavewright.notation.score import Score
from stavewright.theory.chord import Chord
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key, Mode
from stavewright.theory.pitch import PitchName

_LEADING: Final = Interval.of_degree(2, -100)
_THIRDS: Final = (300, 400)
_FIFTHS: Final = (600, 700, 800)
_SEVENTHS: Final = (900, 1000, 1100)


@dataclass(frozen=True, slots=True)
class Harmony:
    """A triad or a seventh chord."""

    root: PitchName
    third: PitchName | None
    fifth: PitchName | None
    seventh: PitchName | None

    @property
    def names(self) -> frozenset[PitchName]:
        """All its tones."""
        tones = (self.root, self.third, self.fifth, self.seventh)
        return frozenset(tone for tone in tones if tone is not None)

    def _size(self, tone: PitchName | None) -> int | None:
        """Cents from the root up to a tone."""
        return None if tone is None else (tone.cents - self.root.cents) % 1200

    @property
    def is_consonant(self) -> bool:
        """Whether it is a major or minor triad, complete."""
        return (
            self.seventh is None
            and self._size(self.third) in _THIRDS
            and self._size(self.fifth) == 700
        )

    @property
    def is_dominant_seventh(self) -> bool:
        """A major third and a minor seventh."""
        return self._size(self.third) == 400 and self._size(self.seventh) == 1000

    def leading_tone(self, key: Key | None) -> PitchName | None:
        """The tone that wants to rise a half step, if the chord has one that acts so.

        It is the third of a dominant seventh and of the key's own dominant, and the root of a
        diminished chord, unless that is the second degree of minor.
        """
        major = self._size(self.third) == 400 and self._size(self.fifth) in (None, 700)
        if self.is_dominant_seventh or (major and self._is_dominant_of(key)):
            return self.third
        if self._size(self.third) != 300 or self._size(self.fifth) != 600:
            return None
        if self._size(self.seventh) == 900:
            return self.root
        return None if key is None or self._belongs(key) else self.root

    def _is_dominant_of(self, key: Key | None) -> bool:
        has_leading_tone = key is not None and key.mode in (Mode.MAJOR, Mode.IONIAN, Mode.MINOR)
        fifth = Interval.of_degree(5)
        return (
            key is not None
            and has_leading_tone
            and self.seventh is None
            and self.root == key.tonic + fifth
        )

    def _belongs(self, key: Key) -> bool:
        """Whether a diminished chord's root is in the key without leading to its tonic."""
        return key.contains(self.root) and self.root + _LEADING != key.tonic


@lru_cache(maxsize=256)
def heard_harmony(names: frozenset[PitchName]) -> Harmony | None:
    """The triad or seventh chord that these names are, complete or without its fifth."""
    there = list(names)
    found = [harmony for root in there if (harmony := _stacked(root, there))]
    return found[0] if len(found) == 1 else None


def _stacked(root: PitchName, names: list[PitchName]) -> Harmony | None:
    """The names as thirds on a root; None where one does not fit or the third is missing."""
    tones: dict[int, PitchName] = {}
    for name in names:
        number = (name.letter.place - root.letter.place) % 7 + 1
        if tones.setdefault(number, name) != name:
            return None
    sizes = {number: (tone.cents - root.cents) % 1200 for number, tone in tones.items()}
    allowed = {1: (0,), 3: _THIRDS, 5: _FIFTHS, 7: _SEVENTHS}
    if any(number not in allowed or sizes[number] not in allowed[number] for number in sizes):
        return None
    if 3 not in tones:
        return None
    return Harmony(root, tones[3], tones.get(5), tones.get(7))


def labelled_harmony(score: Score, time: Fraction) -> Harmony | None:
    """The chord that the numerals, or else the chord symbols, name at a time."""
    at = bisect_right(score.numerals, time, key=lambda event: event.start) - 1
    if at >= 0 and time < score.numerals[at].end:
        event = score.numerals[at]
        if event.numeral is not None and event.key is not None:
            chords = chords_of(event.numeral, event.key)
            return _of_chord(chords[0]) if chords else None
    at = bisect_right(score.chords, time, key=lambda event: event.start) - 1
    if at >= 0 and time < score.chords[at].end:
        chord = score.chords[at].chord
        return None if chord is None else _of_chord(chord)
    return None


def _of_chord(chord: Chord) -> Harmony | None:
    """A chord by its third, fifth and seventh; None where it has no agreed root."""
    if chord.root is None or chord.upper is not None:
        return None
    tones = [chord.tone_numbered(number) for number in (3, 5, 7)]
    third, fifth, seventh = (None if tone is None else tone.name for tone in tones)
    return Harmony(chord.root, third, fifth, seventh)


def resolves_up_to(leading: PitchName) -> PitchName:
    """The note a half step above, on the next letter."""
    return leading + _LEADING
