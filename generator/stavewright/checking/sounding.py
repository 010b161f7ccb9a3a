"""What sounds: the notes of a score as the ear gets them, with the way each came and went.

Ties are merged, drums and grace notes left out, bare note heads ignored (they stand at no time).
Melodic neighbours are sought inside one voice, across rests of up to a quarter note; of a chord the
nearest note counts, which is where the ear expects a dissonance to go.
"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate

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
    found = [note for number, voice in enumerate(score.voices) for note in _attacks(number, voice)]
    found.sort(key=lambda note: (note.start, note.pitch, note.voice, note.event))
    notes = tuple(replace(note, index=index) for index, note in enumerate(found))
    previous: list[int | None] = [None] * len(notes)
    following: list[int | None] = [None] * len(notes)
    for number in range(len(score.voices)):
        _link([note for note in notes if note.voice == number], previous, following)
    longest = max((note.duration for note in notes), default=Fraction(0))
    starts = tuple(note.start for note in notes)
    return Sounding(notes, tuple(previous), tuple(following), starts, longest)


def tempered(pitch: Pitch) -> Pitch:
    """The note that a pitch is a shade of: a pure third is a third, a quarter tone is neither."""
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
    turns: list[tuple[Fraction, int]] = []
    for note in notes:
        if note.end > start and note.start < end:
            turns += [(max(note.start, start), 1), (note.end, -1)]
    # At one moment the endings come first: -1 sorts before 1.
    return max(accumulate(change for _, change in sorted(turns)), default=0)


def _attacks(number: int, voice: Voice) -> Iterator[Note]:
    """The notes of one voice, ties merged, not yet indexed."""
    for at, event in enumerate(voice.events):
        for head in event.heads:
            if not isinstance(head.sound, Pitch) or not event.duration:
                continue
            if is_tied_over(voice, at, head):
                continue
            chain = _chain(voice, at, head.sound)
            end = voice.events[at + len(chain)].end
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
    for event in voice.events[at + 1 :]:
        met = [head for head in event.heads if head.sound == pitch]
        if not (tied and met):
            break
        found.append(met[0])
        tied = any(head.tied for head in met)
    return found


def _link(line: list[Note], previous: list[int | None], following: list[int | None]) -> None:
    """Fill in the melodic neighbours of one voice's notes, which come in order of attack."""
    attacks: dict[Fraction, list[Note]] = {}
    for note in line:
        attacks.setdefault(note.start, []).append(note)
    times = sorted(attacks)
    for note in line:
        at = bisect_left(times, note.end)
        if at < len(times) and times[at] - note.end <= _LONGEST_GAP:
            following[note.index] = _nearest(attacks[times[at]], note).index
        at = bisect_left(times, note.start)
        if at:
            close = [n for n in attacks[times[at - 1]] if note.start - n.end <= _LONGEST_GAP]
            if close:
                previous[note.index] = _nearest(close, note).index


def _nearest(notes: list[Note], to: Note) -> Note:
    return min(notes, key=lambda note: (abs(note.pitch.cents - to.pitch.cents), note.index))
