"""What sounds: the notes of a score as the ear gets them, with the way each came and went.

Ties are merged, drums and grace notes left out, bare note heads ignored (they stand at no time).
Melodic neighbours are sought inside one voice, across rests of up to a quarter note; of a chord the
nearest note counts, which is where the ear expects a dissonance to go.
"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, groupby, islice
from math import lcm
from operator import attrgetter

from stavewright.checking.this_score import ThisScore
from stavewright.notation.score import Head, Score, Voice
from stavewright.notation.source import Span
from stavewright.theory.pitch import Pitch

_NOTHING = Fraction(0)
_LONGEST_GAP = Fraction(1, 4)
"""A rest longer than this ends a melodic line, as far as the treatment of dissonance goes."""
_WIDEST_SHADE = 35
"""Cents. Pure and mean-tone intervals differ by less from tempered ones, a pure seventh by 31."""
_WIDEST_STEP = 200
"""Cents; a whole tone. The augmented second counts too where the letters are neighbours."""


@dataclass(frozen=True, slots=True)
class Note:
    """One sounding note, from its attack to the end of its last tie."""

    index: int
    """Its place in `Sounding.notes`."""
    pitch: Pitch
    """As a note of the twelve: shades of tuning are left out, quarter tones are not."""
    start: Fraction
    end: Fraction
    voice: int
    """Index into `Score.voices`."""
    event: int
    """Index of the event that attacks it."""
    span: Span | None
    """Where its head is written, of several that are tied the first."""
    held: tuple[Span, ...] = ()
    """Where the heads are written that it is tied to."""
    shade: int = 0
    """Cents by which it is written off `pitch`."""

    @property
    def spans(self) -> tuple[Span, ...]:
        """Every place in which it is written: what is changed in one is changed in all."""
        return () if self.span is None else (self.span, *self.held)

    @property
    def duration(self) -> Fraction:
        """How long it sounds, of a whole note."""
        return self.end - self.start

    def overlap(self, start: Fraction, end: Fraction) -> Fraction:
        """How long it sounds between two moments."""
        first = start if start > self.start else self.start
        last = end if end < self.end else self.end
        return last - first if last > first else _NOTHING


@dataclass(frozen=True, slots=True)
class Sounding:
    """All notes of a score in order of attack, lowest first, and their melodic neighbours."""

    notes: tuple[Note, ...]
    previous: tuple[int | None, ...]
    """For each note the index of the note before it in its voice."""
    following: tuple[int | None, ...]
    """For each note the index of the note after it in its voice."""
    starts: tuple[Fraction, ...]
    """The attacks, one for each note, for searching."""
    longest: Fraction
    """The longest duration, which limits how far back a search must look."""

    def before(self, note: Note) -> Note | None:
        """The note this one came from, melodically."""
        index = self.previous[note.index]
        return None if index is None else self.notes[index]

    def after(self, note: Note) -> Note | None:
        """The note this one goes to, melodically."""
        index = self.following[note.index]
        return None if index is None else self.notes[index]

    def within(self, start: Fraction, end: Fraction) -> tuple[Note, ...]:
        """Everything that sounds for some time between two moments."""
        first = bisect_left(self.starts, start - self.longest)
        last = bisect_left(self.starts, end)
        return tuple(note for note in self.notes[first:last] if note.end > start)


def sounding(score: Score) -> Sounding:
    """Work out what a score sounds like."""
    return _sounding(ThisScore(score))


# Half a dozen rules listen to the same score one after the other; only the last is kept.
@lru_cache(maxsize=1)
def _sounding(this: ThisScore) -> Sounding:
    score = this.score
    attacks = (each for n, voice in enumerate(score.voices) for each in _attacks(n, voice))
    notes = tuple(_numbered(attack, index) for index, attack in enumerate(_in_order(attacks)))
    previous: list[int | None] = [None] * len(notes)
    following: list[int | None] = [None] * len(notes)
    for number in range(len(score.voices)):
        _link([note for note in notes if note.voice == number], previous, following)
    starts = tuple(note.start for note in notes)
    longest = _longest(notes)
    return Sounding(notes, tuple(previous), tuple(following), starts, longest)


def in_ticks(times: Sequence[Fraction]) -> tuple[list[int], int]:
    """Times as whole numbers of their largest common part, and how many parts a whole note has.

    Their order and distances stay what they are, and whole numbers are compared, sorted and
    subtracted some twenty times as fast as fractions.
    """
    parts = lcm(*{time.denominator for time in times})
    return [time.numerator * (parts // time.denominator) for time in times], parts


def _in_order(attacks: Iterable[Note]) -> list[Note]:
    """Notes by attack, then from the lowest up."""
    found = list(attacks)
    ticks, _ = in_ticks([note.start for note in found])
    # This is the order of pitches, by sound and place on the staff.
    keys = [
        (tick, note.pitch.cents, note.pitch.staff_position, note.voice, note.event)
        for tick, note in zip(ticks, found, strict=True)
    ]
    return [found[at] for at in sorted(range(len(found)), key=keys.__getitem__)]


def _numbered(note: Note, index: int) -> Note:
    return Note(
        index,
        note.pitch,
        note.start,
        note.end,
        note.voice,
        note.event,
        note.span,
        note.held,
        note.shade,
    )


def _longest(notes: Sequence[Note]) -> Fraction:
    """The longest duration."""
    starts, ends = [note.start for note in notes], [note.end for note in notes]
    ticks, parts = in_ticks(starts + ends)
    count = len(notes)
    longest = max(map(int.__sub__, ticks[count:], ticks[:count]), default=0)
    return Fraction(longest, parts)


def tempered(pitch: Pitch) -> Pitch:
    """The note that a pitch is a shade of: a pure third is a third, a quarter tone is neither."""
    if pitch.cents_altered % 100 == 0:
        return pitch
    plain = 100 * pitch.name.accidentals
    is_shade = abs(pitch.cents_altered - plain) <= _WIDEST_SHADE
    return Pitch(pitch.letter, plain, pitch.octave) if is_shade else pitch


def is_step(one: Pitch, other: Pitch) -> bool:
    """Whether two pitches lie a step apart: up to a whole tone, or an augmented second."""
    distance = abs(other.cents - one.cents)
    letters = abs(other.staff_position - one.staff_position)
    return 0 < distance <= _WIDEST_STEP or (letters == 1 and 0 < distance <= _WIDEST_STEP + 100)


def depth(notes: Iterable[Note], start: Fraction, end: Fraction) -> int:
    """The most notes that sound at one moment between two moments."""
    times = [start, end]
    for note in notes:
        times += (note.start, note.end)
    (first, last, *ticks), _ = in_ticks(times)
    turns: list[tuple[int, int]] = []
    for begins, ends in zip(ticks[::2], ticks[1::2], strict=True):
        if ends > first and begins < last:
            turns += [(max(begins, first), 1), (ends, -1)]
    # At one moment the endings come first: -1 sorts before 1.
    return max(accumulate(change for _, change in sorted(turns)), default=0)


def _attacks(number: int, voice: Voice) -> Iterator[Note]:
    """The notes of one voice, ties merged, not yet indexed."""
    for at, event in enumerate(voice.events):
        if not event.heads or not event.duration:
            continue
        its_end = event.end
        for head in event.heads:
            if not isinstance(head.sound, Pitch) or is_tied_over(voice, at, head):
                continue
            chain = _chain(voice, at, head.sound)
            end = voice.events[at + len(chain)].end if chain else its_end
            held = tuple(each.span for each in chain if each.span is not None)
            pitch = tempered(head.sound)
            shade = head.sound.cents - pitch.cents
            yield Note(0, pitch, event.start, end, number, at, head.span, held, shade)


def is_tied_over(voice: Voice, at: int, head: Head) -> bool:
    """Whether a note of a voice's event continues one of the event before."""
    before = voice.events[at - 1].heads if at else ()
    return any(other.tied and other.sound == head.sound for other in before)


def _chain(voice: Voice, at: int, pitch: Pitch) -> list[Head]:
    """The heads that a note is tied to, one in each of the events that follow."""
    found: list[Head] = []
    tied = any(head.tied and head.sound == pitch for head in voice.events[at].heads)
    while tied and at + 1 < len(voice.events):
        at += 1
        met = [head for head in voice.events[at].heads if head.sound == pitch]
        if not met:
            break
        found.append(met[0])
        tied = any(head.tied for head in met)
    return found


def _link(line: list[Note], previous: list[int | None], following: list[int | None]) -> None:
    """Fill in the melodic neighbours of one voice's notes, which come in order of attack."""
    chords = [list(chord) for _, chord in groupby(line, key=attrgetter("start"))]
    for at, chord in enumerate(chords):
        for note in chord:
            after = _chord_after(note, chords, at)
            if after:
                following[note.index] = _nearest(after, note).index
        if at:
            start = chord[0].start
            close = [n for n in chords[at - 1] if n.end == start or start - n.end <= _LONGEST_GAP]
            for note in chord if close else ():
                previous[note.index] = _nearest(close, note).index


def _chord_after(note: Note, chords: list[list[Note]], at: int) -> list[Note]:
    """The first of the chords behind `at` that is struck when a note is over; none if too late."""
    end = note.end
    for chord in islice(chords, at + 1, None):
        start = chord[0].start
        # Nearly always the next one is struck at that very moment.
        if start == end:
            return chord
        if start > end:
            return chord if start - end <= _LONGEST_GAP else []
    return []


def _nearest(notes: list[Note], to: Note) -> Note:
    if len(notes) == 1:
        return notes[0]
    return min(notes, key=lambda note: (abs(note.pitch.cents - to.pitch.cents), note.index))
