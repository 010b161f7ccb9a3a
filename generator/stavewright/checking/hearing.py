"""What is heard under one label: the stretch of time, its notes, and how full the texture is."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from stavewright.checking.metre import weight_at
from stavewright.checking.sounding import Note, Sounding, depth, is_step
from stavewright.notation.score import Score

_FEWEST_BROKEN = 3
"""Attacks from which a leaping voice counts as a broken chord."""
_FEWEST_IN_PATTERN = 6
"""Attacks from which a voice may be heard as figuration."""


# No slots: what several demands ask for is worked out once.
@dataclass(frozen=True)
class Hearing:
    """One stretch of a score, as the ear takes it in."""

    score: Score
    sounding: Sounding
    start: Fraction
    end: Fraction
    onset: int
    """`start` in the ticks of the sounding."""
    release: int
    """`end` in ticks."""
    notes: tuple[Note, ...]
    """All that sounds in the stretch, in order of attack, the lowest first."""
    is_melody: bool
    """Whether this is a tune alone, of which no chord tone can be demanded: the score never sounds
    two notes at once, and the line here is no broken chord."""

    def share(self, note: Note) -> Fraction:
        """Which part of the stretch a note fills."""
        first, last = max(note.onset, self.onset), min(note.release, self.release)
        return Fraction(max(0, last - first), self.release - self.onset)

    def weight(self, note: Note) -> int:
        """Metric weight of the moment from which the note is heard here."""
        return weight_at(self.score, max(note.start, self.start))

    @cached_property
    def fullness(self) -> int:
        """How many chord tones the texture has room for.

        The most notes at once; a broken chord counts with all its pitches, as the ear adds it up.
        """
        at_once = depth(self.notes, self.onset, self.release)
        broken = max(map(len, self._broken_chords()), default=0)
        return max(at_once, at_once - 1 + broken if broken else 0)

    @cached_property
    def lowest_notes(self) -> tuple[Note, ...]:
        """The lowest note at each moment at which something is struck, in order of time."""
        found: dict[int, Note] = {}
        for moment in sorted({max(note.onset, self.onset) for note in self.notes}):
            there = [note for note in self.notes if note.onset <= moment < note.release]
            lowest = min(there, key=lambda note: (note.pitch.cents, note.index))
            found.setdefault(lowest.index, lowest)
        return tuple(found.values())

    @cached_property
    def is_figured(self) -> bool:
        """Whether a voice breaks the chord in a pattern, so that each short note is harmony."""
        return any(map(_is_pattern, self._single_lines))

    def plays_pattern(self, voice: int) -> bool:
        """Whether a voice is figuration here and no tune."""
        lines = (line for line in self._single_lines if line[0].voice == voice)
        return any(_is_pattern(line) for line in lines)

    def _broken_chords(self) -> Iterator[set[int]]:
        """The pitches (cents) of each voice that leaps from note to note, or plays a pattern."""
        for line in self._single_lines:
            leaps = (not is_step(a.pitch, b.pitch) for a, b in pairwise(line))
            if (len(line) >= _FEWEST_BROKEN and all(leaps)) or _is_pattern(line):
                yield {note.pitch.cents for note in line}

    @cached_property
    def _single_lines(self) -> tuple[list[Note], ...]:
        """The notes of each voice that strikes one at a time."""
        lines: dict[int, list[Note]] = {}
        for note in self.notes:
            lines.setdefault(note.voice, []).append(note)
        struck = ([n for n in line if n.onset >= self.onset] for _, line in sorted(lines.items()))
        return tuple(line for line in struck if line and _strikes_singly(line))


def _strikes_singly(line: list[Note]) -> bool:
    """Whether no two notes of a line, which come in order of attack, begin together."""
    return all(one.onset != other.onset for one, other in pairwise(line))


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
    onset, release = sounding.ticks.count(start), sounding.ticks.count(end)
    notes = sounding.within(onset, release)
    heard = Hearing(score, sounding, start, end, onset, release, notes, is_melody)
    return replace(heard, is_melody=False) if is_melody and heard.is_figured else heard


def is_lone_melody(sounding: Sounding) -> bool:
    """Whether no two notes ever sound at once.

    Notes of one voice follow one another, also where a bar of it is too long for the metre.
    """
    if len({note.voice for note in sounding.notes}) == 1:
        return len({note.event for note in sounding.notes}) == len(sounding.notes)
    # They come in order of attack, so that each has only the next to get out of the way of.
    return all(one.release <= other.onset for one, other in pairwise(sounding.notes))
