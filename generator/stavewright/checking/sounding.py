"""What sounds: the notes of a score as the ear gets them, with the way each came and went.

Ties are merged, drums and grace notes left out, bare note heads ignored (they stand at no time).
Melodic neighbours are sought inside one voice, across rests of up to a quarter note; of a chord the
nearest note counts, which is where the ear expects a dissonance to go.
"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate, groupby, islice
from operator import attrgetter, itemgetter
from typing import NamedTuple

from stavewright.checking.this_score import ThisScore
from stavewright.checking.ticks import Ticks
from stavewright.notation.score import Drum, Head, Score, Voice
from stavewright.notation.source import Span
from stavewright.theory.pitch import Pitch

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
    onset: int
    """`start` in the ticks of the `Sounding`."""
    release: int
    """`end` in ticks."""
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


@dataclass(frozen=True, slots=True)
class Sounding:
    """All notes of a score in order of attack, lowest first, and their melodic neighbours."""

    notes: tuple[Note, ...]
    previous: tuple[int | None, ...]
    """For each note the index of the note before it in its voice."""
    following: tuple[int | None, ...]
    """For each note the index of the note after it in its voice."""
    ticks: Ticks
    """In which `onset` and `release` are counted; every time that the score names is whole."""
    onsets: tuple[int, ...]
    """The attacks, one for each note, for searching."""
    longest: int
    """The longest duration in ticks, which limits how far back a search must look."""

    def before(self, note: Note) -> Note | None:
        """The note this one came from, melodically."""
        index = self.previous[note.index]
        return None if index is None else self.notes[index]

    def after(self, note: Note) -> Note | None:
        """The note this one goes to, melodically."""
        index = self.following[note.index]
        return None if index is None else self.notes[index]

    def within(self, onset: int, release: int) -> tuple[Note, ...]:
        """Everything that sounds for some time between two moments, in ticks."""
        first = bisect_left(self.onsets, onset - self.longest)
        last = bisect_left(self.onsets, release)
        return tuple(note for note in self.notes[first:last] if note.release > onset)


def sounding(score: Score) -> Sounding:
    """Work out what a score sounds like."""
    return _sounding(ThisScore(score))


# Half a dozen rules listen to the same score one after the other; only the last is kept.
@lru_cache(maxsize=1)
def _sounding(this: ThisScore) -> Sounding:
    score = this.score
    ticks = Ticks.of_score(score)
    notes = _in_order(score, ticks)
    previous: list[int | None] = [None] * len(notes)
    following: list[int | None] = [None] * len(notes)
    lines: list[list[Note]] = [[] for _ in score.voices]
    for note in notes:
        lines[note.voice].append(note)
    for line in lines:
        _link(line, ticks.count(_LONGEST_GAP), previous, following)
    longest = max((note.release - note.onset for note in notes), default=0)
    onsets = tuple(note.onset for note in notes)
    return Sounding(notes, tuple(previous), tuple(following), ticks, onsets, longest)


class _Attack(NamedTuple):
    """A note without its place among the others, which the first five fields decide."""

    onset: int
    cents: int
    position: int
    voice: int
    event: int
    release: int
    pitch: Pitch
    shade: int
    span: Span | None
    chain: list[Head]
    """What it is tied to."""


_order = itemgetter(0, 1, 2, 3, 4)


def _in_order(score: Score, ticks: Ticks) -> tuple[Note, ...]:
    """All notes by attack, then from the lowest up."""
    attacks: list[_Attack] = []
    times: dict[int, Fraction] = {}
    for number, voice in enumerate(score.voices):
        onsets = [ticks.count(event.start) for event in voice.events]
        releases = [
            onset + ticks.count(event.duration)
            for onset, event in zip(onsets, voice.events, strict=True)
        ]
        # Most notes end where another begins.
        times.update(zip(onsets, [event.start for event in voice.events], strict=True))
        attacks += _attacks(number, voice, onsets, releases)
    return tuple(
        Note(
            index,
            attack.pitch,
            times[attack.onset],
            times.get(attack.release) or ticks.time(attack.release),
            attack.voice,
            attack.event,
            attack.onset,
            attack.release,
            attack.span,
            tuple([head.span for head in attack.chain if head.span is not None]),
            attack.shade,
        )
        for index, attack in enumerate(sorted(attacks, key=_order))
    )


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


def depth(notes: Iterable[Note], onset: int, release: int) -> int:
    """The most notes that sound at one moment between two moments, in ticks."""
    turns: list[tuple[int, int]] = []
    for note in notes:
        if note.release > onset and note.onset < release:
            turns += [(max(note.onset, onset), 1), (note.release, -1)]
    # At one moment the endings come first: -1 sorts before 1.
    return max(accumulate(change for _, change in sorted(turns)), default=0)


def _attacks(
    number: int, voice: Voice, onsets: list[int], releases: list[int]
) -> Iterator[_Attack]:
    """The notes of one voice, ties merged."""
    held: list[Pitch | Drum] = []
    for at, event in enumerate(voice.events):
        before, held = held, [head.sound for head in event.heads if head.tied]
        onset, release = onsets[at], releases[at]
        if onset == release:
            continue
        for head in event.heads:
            sound = head.sound
            if not isinstance(sound, Pitch) or sound in before:
                continue
            chain = _chain(voice, at, sound) if held else []
            end = releases[at + len(chain)] if chain else release
            pitch = tempered(sound)
            cents, place = pitch.cents, pitch.staff_position
            shade = sound.cents - cents if pitch is not sound else 0
            yield _Attack(onset, cents, place, number, at, end, pitch, shade, head.span, chain)


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


def _link(
    line: list[Note], gap: int, previous: list[int | None], following: list[int | None]
) -> None:
    """Fill in the melodic neighbours of one voice's notes, which come in order of attack."""
    chords = [list(chord) for _, chord in groupby(line, key=attrgetter("onset"))]
    for at, chord in enumerate(chords):
        for note in chord:
            after = _chord_after(note, chords, at, gap)
            if after:
                following[note.index] = _nearest(after, note).index
        if at:
            latest = chord[0].onset - gap
            close = [note for note in chords[at - 1] if note.release >= latest]
            for note in chord if close else ():
                previous[note.index] = _nearest(close, note).index


def _chord_after(note: Note, chords: list[list[Note]], at: int, gap: int) -> list[Note]:
    """The first of the chords behind `at` that is struck when a note is over; none if too late."""
    release = note.release
    for chord in islice(chords, at + 1, None):
        onset = chord[0].onset
        if onset >= release:
            return chord if onset - release <= gap else []
    return []


def _nearest(notes: list[Note], to: Note) -> Note:
    if len(notes) == 1:
        return notes[0]
    height = to.pitch.cents
    return min(notes, key=lambda note: (abs(note.pitch.cents - height), note.index))
