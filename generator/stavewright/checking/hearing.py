"""What is heard under one label: the stretch of time, its notes, and how full the texture is."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from stavewright.checking.metre import weight_at
from stavewright.checking.sounding import Note, Sounding, depth, is_step
from stavewright.notation.score import Score
from stavewright.theory.pitch import PitchName

_FEWEST_BROKEN = 3
"""Attacks from which a leaping voice counts as a broken chord."""


@dataclass(frozen=True, slots=True)
class Hearing:
    """One stretch of a score, as the ear takes it in."""

    score: Score
    sounding: Sounding
    start: Fraction
    end: Fraction
    notes: tuple[Note, ...]
    """All that sounds in the stretch, in order of attack, the lowest first."""
    is_melody: bool
    """Whether the whole score never sounds two notes at once: a tune, of which no chord tone can
    be demanded."""

    def share(self, note: Note) -> Fraction:
        """Which part of the stretch a note fills."""
        return note.overlap(self.start, self.end) / (self.end - self.start)

    def weight(self, note: Note) -> int:
        """Metric weight of the moment from which the note is heard here."""
        return weight_at(self.score, max(note.start, self.start))

    def fills(self, note: Note) -> bool:
        """Whether the note sounds from the first moment to the last."""
        return note.start <= self.start and note.end >= self.end

    def sounds(self, name: PitchName) -> bool:
        """Whether a note of that name is heard at any time."""
        return any(note.pitch.name == name for note in self.notes)

    @property
    def fullness(self) -> int:
        """How many chord tones the texture has room for.

        The most notes at once; a broken chord counts with all its pitches, as the ear adds it up.
        """
        at_once = depth(self.notes, self.start, self.end)
        broken = max((len(pitches) for pitches in self._broken_chords()), default=0)
        return max(at_once, at_once - 1 + broken if broken else 0)

    @property
    def lowest_notes(self) -> tuple[Note, ...]:
        """The lowest note at each moment at which something is struck, in order of time."""
        moments = sorted({max(note.start, self.start) for note in self.notes})
        found: dict[int, Note] = {}
        for moment in moments:
            there = [note for note in self.notes if note.start <= moment < note.end]
            if there:
                lowest = min(there, key=lambda note: (note.pitch.cents, note.index))
                found.setdefault(lowest.index, lowest)
        return tuple(found.values())

    def _broken_chords(self) -> Iterator[set[int]]:
        """The pitches (cents) of each voice that does nothing but leap from note to note."""
        for voice in {note.voice for note in self.notes}:
            line = [note for note in self.notes if note.voice == voice and note.start >= self.start]
            if len(line) < _FEWEST_BROKEN or len({note.start for note in line}) < len(line):
                continue
            pairs = pairwise(line)
            if not any(is_step(one.pitch, other.pitch) for one, other in pairs):
                yield {note.pitch.cents for note in line}


def hear(
    score: Score, sounding: Sounding, start: Fraction, end: Fraction, *, is_melody: bool
) -> Hearing:
    """Listen to one stretch of a score."""
    return Hearing(score, sounding, start, end, sounding.within(start, end), is_melody)


def is_lone_melody(sounding: Sounding) -> bool:
    """Whether no two notes ever sound at once."""
    end = max((note.end for note in sounding.notes), default=Fraction(0))
    return depth(sounding.notes, Fraction(0), end) <= 1
