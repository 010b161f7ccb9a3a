"""What is heard under one label: the stretch of time, its notes, and how full the texture is."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from stavewright.checking.metre import weight_at
from stavewright.checking.sounding import Note, Sounding, depth, is_step
from stavewright.notation.score import Score

_FEWEST_BROKEN = 3
"""Attacks from which a leaping voice counts as a broken chord."""
_FEWEST_IN_PATTERN = 6
"""Attacks from which a voice may be heard as figuration."""


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
    """Whether this is a tune alone, of which no chord tone can be demanded: the score never sounds
    two notes at once, and the line here is no broken chord."""

    def share(self, note: Note) -> Fraction:
        """Which part of the stretch a note fills."""
        return note.overlap(self.start, self.end) / (self.end - self.start)

    def weight(self, note: Note) -> int:
        """Metric weight of the moment from which the note is heard here."""
        return weight_at(self.score, max(note.start, self.start))

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

    @property
    def is_figured(self) -> bool:
        """Whether a voice breaks the chord in a pattern, so that each short note is harmony."""
        return any(_is_pattern(line) for line in self._single_lines())

    def plays_pattern(self, voice: int) -> bool:
        """Whether a voice is figuration here and no tune."""
        lines = (line for line in self._single_lines() if line[0].voice == voice)
        return any(_is_pattern(line) for line in lines)

    def _broken_chords(self) -> Iterator[set[int]]:
        """The pitches (cents) of each voice that leaps from note to note, or plays a pattern."""
        for line in self._single_lines():
            leaps = [not is_step(a.pitch, b.pitch) for a, b in pairwise(line)]
            if (len(line) >= _FEWEST_BROKEN and all(leaps)) or _is_pattern(line):
                yield {note.pitch.cents for note in line}

    def _single_lines(self) -> Iterator[list[Note]]:
        """The notes of each voice that strikes one at a time."""
        for voice in {note.voice for note in self.notes}:
            line = [note for note in self.notes if note.voice == voice and note.start >= self.start]
            if line and len({note.start for note in line}) == len(line):
                yield line


def _is_pattern(line: list[Note]) -> bool:
    """Whether a line comes back to the same few pitches, for the most part by leap."""
    if len(line) < _FEWEST_IN_PATTERN:
        return False
    # A note struck again is no leap: tunes do that as well.
    leaps = sum(a.pitch != b.pitch and not is_step(a.pitch, b.pitch) for a, b in pairwise(line))
    few = 3 * len({note.pitch for note in line}) <= 2 * len(line)
    return few and 2 * leaps > len(line) - 1


def hear(
    score: Score, sounding: Sounding, start: Fraction, end: Fraction, *, is_melody: bool
) -> Hearing:
    """Listen to one stretch of a score."""
    heard = Hearing(score, sounding, start, end, sounding.within(start, end), is_melody)
    return replace(heard, is_melody=is_melody and not heard.is_figured)


def is_lone_melody(sounding: Sounding) -> bool:
    """Whether no two notes ever sound at once.

    Notes of one voice follow one another, also where a bar of it is too long for the metre.
    """
    if len({note.voice for note in sounding.notes}) == 1:
        return len({note.event for note in sounding.notes}) == len(sounding.notes)
    end = max((note.end for note in sounding.notes), default=Fraction(0))
    return depth(sounding.notes, Fraction(0), end) <= 1
