"""The parts of a block whose style asks for good part-writing.

A block becomes *lines*, each one note at a time, and *moments*, one for every attack. A voice that
always writes single notes is a line; the chords of a keyboard hand are as many lines as they have
notes, top to bottom. A rest, a fermata, a double bar and a repeat end a phrase: what stands before
is not heard as leading to what stands after, and no advice reaches over.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import combinations, pairwise

from stavewright.checking.bar_rows import bar_rows
from stavewright.checking.harmony import Harmony, heard_harmony, labelled_harmony
from stavewright.checking.metre import place_words
from stavewright.checking.sounding import Note, sounding
from stavewright.checking.styles import STYLES, Style
from stavewright.checking.this_score import ThisScore
from stavewright.notation.score import BarSign, EventMark, Score
from stavewright.theory.pitch import PitchName

_RANKS = ("top", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")


@dataclass(frozen=True, slots=True)
class Moment:
    """What every line sounds from one attack to the next."""

    time: Fraction
    notes: tuple[Note | None, ...]
    """One for each line, the top line first; None where it is silent."""

    @property
    def sounding(self) -> tuple[Note, ...]:
        """The notes that sound, the top line first."""
        return tuple(note for note in self.notes if note is not None)

    @property
    def names(self) -> frozenset[PitchName]:
        """What sounds, octaves aside."""
        return frozenset(note.pitch.name for note in self.notes if note is not None)

    @property
    def bass(self) -> Note:
        """The note of the lowest line that sounds."""
        return self.sounding[-1]

    def strikes(self, note: Note) -> bool:
        """Whether the note begins here."""
        return note.start == self.time


@dataclass(frozen=True, slots=True)
class Motion:
    """Two lines that both strike a note where both have just left one."""

    upper: int
    """Index of the line that is written above."""
    lower: int
    before: tuple[Note, Note]
    """The upper line's note first."""
    after: tuple[Note, Note]
    moments: tuple[Moment, Moment]

    @property
    def both_move(self) -> bool:
        """Whether neither merely repeats its note."""
        return all(a.pitch != b.pitch for a, b in zip(self.before, self.after, strict=True))

    @property
    def is_similar(self) -> bool:
        """Whether both move the same way."""
        rises = [
            b.pitch.cents > a.pitch.cents for a, b in zip(self.before, self.after, strict=True)
        ]
        return self.both_move and rises[0] == rises[1]

    @property
    def is_between_outer(self) -> bool:
        """Whether these are the highest and the lowest line that sound at both moments."""
        return all(
            (moment.sounding[0], moment.sounding[-1]) == pair
            for moment, pair in zip(self.moments, (self.before, self.after), strict=True)
        )


@dataclass(frozen=True, slots=True)
class Departure:
    """A line that leaves a note for the next."""

    note: Note
    next: Note
    moments: tuple[Moment, Moment]
    """The last one in which the note sounds, and the first one of the next note."""


class Parts:
    """The lines and moments of one score. Built by `parts_for`, once for all rules."""

    def __init__(self, score: Score, style: Style) -> None:
        self.score = score
        self.style = style
        notes = sounding(score).notes
        self._line_of, self.names = _lines(score, notes)
        self.moments = tuple(_moments(notes, self._line_of, len(self.names)))
        self._times = tuple(moment.time for moment in self.moments)
        self._breaks = frozenset(_phrase_ends(score))
        self._next, self._previous = self._neighbours()
        self._harmonies: dict[Fraction, Harmony | None] = {}

    def _neighbours(self) -> tuple[dict[int, Note], dict[int, Note]]:
        following: dict[int, Note] = {}
        previous: dict[int, Note] = {}
        for earlier, later in pairwise(self.moments):
            for one, other in zip(earlier.notes, later.notes, strict=True):
                if one is not None and other is not None and self.joined(one, other):
                    following[one.index] = other
                    previous[other.index] = one
        return following, previous

    def joined(self, one: Note, other: Note) -> bool:
        """Whether the second note follows the first at once and in the same phrase."""
        return one.end == other.start and other.start not in self._breaks

    def after(self, note: Note) -> Note | None:
        """The next note of the line; None at the end of a phrase."""
        return self._next.get(note.index)

    def before(self, note: Note) -> Note | None:
        """The last note of the line; None at the beginning of a phrase."""
        return self._previous.get(note.index)

    def line(self, note: Note) -> int:
        """The index of a note's line, 0 the top one."""
        return self._line_of[note.index]

    def name(self, note: Note) -> str:
        """What a note's line is called: `soprano`, `the top voice`."""
        return self.names[self.line(note)]

    def is_outer(self, note: Note) -> bool:
        """Whether the note is the top or the bottom one when it is struck."""
        there = self.at(note.start).sounding
        return note in (there[0], there[-1])

    def at(self, time: Fraction) -> Moment:
        """The moment that a time lies in; the first for an earlier one."""
        return self.moments[max(0, bisect_right(self._times, time) - 1)]

    def as_written_at(self, note: Note, time: Fraction) -> Note:
        """The note with the place where it is written at a time: of tied heads the one then."""
        events = self.score.voices[note.voice].events
        there = (
            head.span
            for event in events[note.event :]
            if event.start <= time < event.end
            for head in event.heads
            if head.sound == note.pitch
        )
        return replace(note, span=next(there, note.span))

    def place(self, time: Fraction) -> str:
        """`bar 2, beat 3`."""
        return place_words(self.score, time)

    def harmony(self, time: Fraction) -> Harmony | None:
        """The chord at a time: what its label says, else the stack of thirds that sounds."""
        moment = self.at(time)
        if moment.time not in self._harmonies:
            label = labelled_harmony(self.score, moment.time)
            self._harmonies[moment.time] = label or heard_harmony(moment.names)
        return self._harmonies[moment.time]

    @cached_property
    def motions(self) -> tuple[Motion, ...]:
        """Every pair of lines, each time that both strike a note straight after another."""
        return tuple(self._motions())

    def _motions(self) -> Iterator[Motion]:
        for earlier, later in self.steps():
            moved = [
                (line, one, other)
                for line, (one, other) in enumerate(zip(earlier.notes, later.notes, strict=True))
                if one is not None and other is not None and self.joined(one, other)
            ]
            for (high, a, b), (low, c, d) in combinations(moved, 2):
                yield Motion(high, low, (a, c), (b, d), (earlier, later))

    @cached_property
    def departures(self) -> tuple[Departure, ...]:
        """Each note that another follows in its line and phrase, in order of leaving."""
        return tuple(
            Departure(one, other, (earlier, later))
            for earlier, later in self.steps()
            for one, other in zip(earlier.notes, later.notes, strict=True)
            if one is not None and other is not None and self.joined(one, other)
        )

    def steps(self) -> Iterator[tuple[Moment, Moment]]:
        """Each moment with the next, phrase by phrase."""
        for earlier, later in pairwise(self.moments):
            if later.time not in self._breaks:
                yield earlier, later


def parts_for(score: Score, rule: str) -> Parts | None:
    """The parts of a score; None unless its style asks for a rule and its bars add up.

    Where a bar has too much or too little, what sounds with what is anybody's guess.
    """
    style = STYLES.get(score.style or "")
    if style is None or rule not in style.asks or not _adds_up(score):
        return None
    return _parts(ThisScore(score))


@lru_cache(maxsize=1)
def _parts(this: ThisScore) -> Parts:
    return Parts(this.score, STYLES[this.score.style or ""])


def _adds_up(score: Score) -> bool:
    return not any(row.wrong_bars for row in bar_rows(score).voices)


def _lines(score: Score, notes: Sequence[Note]) -> tuple[dict[int, int], tuple[str, ...]]:
    """For each note its line, and the lines' names from the top."""
    order = [name for staff in score.staves for name in staff.voices]
    found: dict[tuple[int, int, int], list[Note]] = {}
    for chord in _chords(notes):
        place = order.index(score.voices[chord[0].voice].name)
        for rank, note in enumerate(sorted(chord, key=lambda note: note.pitch, reverse=True)):
            found.setdefault((place, len(chord), rank), []).append(note)
    keys = sorted(found)
    line_of = {note.index: at for at, key in enumerate(keys) for note in found[key]}
    alone = len({place for place, _, _ in keys}) == 1
    names = tuple(_line_name("" if alone else order[key[0]], *key[1:]) for key in keys)
    return line_of, names


def _chords(notes: Sequence[Note]) -> list[list[Note]]:
    """The notes that one event strikes, for every event."""
    found: dict[tuple[int, int], list[Note]] = {}
    for note in notes:
        found.setdefault((note.voice, note.event), []).append(note)
    return list(found.values())


def _line_name(voice: str, count: int, rank: int) -> str:
    if count == 1:
        return voice or "the line"
    of = f" of {voice}" if voice else ""
    word = "lowest" if rank == count - 1 else _RANKS[min(rank, len(_RANKS) - 1)]
    return f"the {word} {'note' if voice else 'voice'}{of}"


def _moments(notes: Sequence[Note], line_of: dict[int, int], lines: int) -> Iterator[Moment]:
    attacks: dict[Fraction, list[Note]] = {}
    for note in notes:
        attacks.setdefault(note.start, []).append(note)
    now: list[Note | None] = [None] * lines
    for time in sorted(attacks):
        now = [note if note is not None and note.end > time else None for note in now]
        for note in attacks[time]:
            now[line_of[note.index]] = note
        yield Moment(time, tuple(now))


def _phrase_ends(score: Score) -> Iterator[Fraction]:
    for voice in score.voices:
        yield from (event.end for event in voice.events if EventMark.FERMATA in event.marks)
    for bar in score.bars:
        if bar.closing is not BarSign.SINGLE:
            yield bar.start + bar.length
        if bar.opening is BarSign.REPEAT_START:
            yield bar.start
