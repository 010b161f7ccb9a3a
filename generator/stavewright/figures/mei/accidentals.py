"""Which accidentals to print.

A note is printed with a sign where neither the key signature nor an earlier sign in its bar, at
its own octave, already says how it sounds. Beyond that rule the trade prints reminders: at another
octave of a note that was altered in the bar, in the bar after an alteration, and after a note tied
over the bar line (Gould, Behind Bars, 2011, pp. 78-83, from memory).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from math import lcm
from typing import Final, NamedTuple

from stavewright.figures.mei.signatures import printed_key
from stavewright.notation.score import Head, HeadMark, Score
from stavewright.theory.key import Key
from stavewright.theory.pitch import Letter, Pitch

SIGNS: Final[Mapping[int, str]] = {
    -300: "tf",
    -200: "ff",
    -150: "3qf",
    -100: "f",
    -50: "1qf",
    0: "n",
    50: "1qs",
    100: "s",
    150: "3qs",
    200: "x",
    300: "ts",
}
"""Cents above the natural letter to MEI's name of the sign."""
_GESTURAL: Final = {-300: "tf", -200: "ff", -100: "f", 100: "s", 200: "ss", 300: "ts"}
"""MEI has no gestural names for quarter tones, and needs none for naturals."""


class HeadPlace(NamedTuple):
    """Where a note head stands in a Score; a plain tuple, since it is looked up for every head."""

    voice: int
    event: int
    head: int
    grace: int | None = None
    """Which of the event's grace notes, for a head of one."""


@dataclass(frozen=True, slots=True)
class Sign:
    """What is printed before a note head."""

    pitch: Pitch
    """The note as printed: transposed, where its voice transposes."""
    written: str | None
    """The sign, by MEI's name; None for none."""
    gestural: str | None
    """What MEI is told of a note without a printed sign."""
    bracketed: bool = False
    """In brackets: a reminder that the author asked for and that no rule would print."""
    cents: int = 0
    """A figure to print where no sign shows the pitch exactly."""
    courtesy: bool = False
    """The author asked for it, be it needed or not."""


class Note(NamedTuple):
    """One head on a staff, in the order it is read."""

    place: HeadPlace
    start: Fraction
    turn: int
    """Orders bare heads, which take no time and so begin together; 0 for others."""
    bar: int
    pitch: Pitch
    continues: bool = False
    """Tied from the note before."""
    courtesy: bool = False


@dataclass(slots=True)
class _Memory:
    """What a reader of one staff remembers."""

    key: Mapping[Letter, int]
    here: dict[tuple[Letter, int], int] = field(default_factory=dict)
    """Signs printed in this bar, by letter and octave."""
    last: dict[tuple[Letter, int], int] = field(default_factory=dict)
    """How notes that were altered in the bar before, or tied from it, last sounded."""

    def turn(self) -> None:
        """Go on to the next bar."""
        self.last = {
            place: cents for place, cents in self.here.items() if cents != self.key.get(place[0], 0)
        }
        self.here = {}


def printed_signs(score: Score) -> dict[HeadPlace, Sign]:
    """What is printed before every pitched head of a Score."""
    signs: dict[HeadPlace, Sign] = {}
    for staff in range(len(score.staves)):
        signs |= _read_staff(score, staff)
    return signs


def nearest_sign(cents: int) -> int:
    """The alteration that is printed for `cents`: itself if a sign exists, else a whole one."""
    if cents in SIGNS:
        return cents
    whole = (abs(cents) + 49) // 100 * 100  # half-way cases lean to the natural
    return min(whole, 300) * (1 if cents > 0 else -1)


@lru_cache(maxsize=128)  # a site has a handful of keys
def signature_of(key: Key | None) -> Mapping[Letter, int]:
    """Cents by which a key signature alters letters."""
    return {name.letter: name.cents_altered for name in key.signature_names} if key else {}


def read(notes: Iterable[Note], keys: Mapping[Fraction, Key | None]) -> dict[HeadPlace, Sign]:
    """Read the notes of one staff, in order; `keys` gives each signature from its moment on."""
    changes = sorted(keys.items())
    memory = _Memory({})
    signs: dict[HeadPlace, Sign] = {}
    bar = None
    for moment in _moments(notes):
        clashing = _clashing(moment) if len(moment) > 1 else ()
        for note in moment:
            if bar is not None and note.bar != bar:
                memory.turn()
                if note.bar > bar + 1:
                    memory.last = {}
            bar = note.bar
            while changes and changes[0][0] <= note.start:
                memory.key = signature_of(changes.pop(0)[1])
                memory.here = {}
            clash = (note.pitch.letter, note.pitch.octave) in clashing
            signs[note.place] = _sign(note, memory, clash)
    return signs


def _moments(notes: Iterable[Note]) -> list[list[Note]]:
    """The notes in groups of those that begin together."""
    moments: list[list[Note]] = []
    before = None
    for note in notes:
        if before is not None and _begin_together(before, note):
            moments[-1].append(note)
        else:
            moments.append([note])
        before = note
    return moments


def _begin_together(one: Note, other: Note) -> bool:
    # Heads of one event share one start, so that most need no comparing.
    same = one.start is other.start or one.start == other.start
    return same and one.turn == other.turn


def _clashing(moment: Sequence[Note]) -> set[tuple[Letter, int]]:
    """Places of the staff where two different notes of one letter sound at once."""
    heard: dict[tuple[Letter, int], set[int]] = {}
    for note in moment:
        if note.place.grace is None:
            at = (note.pitch.letter, note.pitch.octave)
            heard.setdefault(at, set()).add(note.pitch.cents_altered)
    return {at for at, alterations in heard.items() if len(alterations) > 1}


def _sign(note: Note, memory: _Memory, clash: bool) -> Sign:
    """Decide one note, and remember it."""
    pitch = note.pitch
    place = (pitch.letter, pitch.octave)
    printed = nearest_sign(pitch.cents_altered)
    gestural = _GESTURAL.get(printed)
    if note.continues and not note.courtesy:
        if place not in memory.here:
            memory.last[place] = printed
        return Sign(pitch, None, gestural)
    in_force = memory.here.get(place, memory.key.get(pitch.letter, 0))
    needed = printed != in_force or clash or _reminds(place, printed, memory)
    needed = needed and not note.continues
    cents = pitch.cents_altered - printed
    if needed or note.courtesy:
        memory.here[place] = printed
        return Sign(pitch, SIGNS[printed], None, not needed, cents, note.courtesy)
    return Sign(pitch, None, gestural, False, cents)


def _reminds(place: tuple[Letter, int], printed: int, memory: _Memory) -> bool:
    """Whether an unneeded sign would keep the reader from a mistake."""
    if place in memory.here:
        return False
    if memory.last.get(place, printed) != printed:
        return True
    letter = place[0]
    return any(other[0] is letter and cents != printed for other, cents in memory.here.items())


def _read_staff(score: Score, staff: int) -> dict[HeadPlace, Sign]:
    voices = _voices_on(score, staff)
    notes = [note for voice in voices for note in _notes(score, voice)]
    # Starts in whole numbers, which sort much faster.
    parts = lcm(*{note.start.denominator for note in notes})
    notes.sort(
        key=lambda note: (
            note.start.numerator * (parts // note.start.denominator),
            note.turn,
            note.place.grace is None,
            note.place.voice,
            note.place.event,
            note.place.head,
            note.place.grace or 0,
        ),
    )
    interval = score.voices[voices[0]].transposition if voices else None
    changes = {Fraction(0): score.key} | {change.at: change.key for change in score.key_changes}
    return read(notes, {at: printed_key(key, interval) for at, key in changes.items()})


def _voices_on(score: Score, staff: int) -> list[int]:
    return [place for place, voice in enumerate(score.voices) if voice.staff == staff]


def _notes(score: Score, index: int) -> Iterable[Note]:
    """The pitched heads of a voice as printed, grace notes before their event."""
    voice = score.voices[index]
    held: list[Pitch] = []
    for number, event in enumerate(voice.events):
        groups: list[tuple[int | None, tuple[Head, ...]]] = [(None, event.heads)]
        if event.graces:
            groups = [*((place, grace.heads) for place, grace in enumerate(event.graces)), *groups]
        tied: list[Pitch] = []
        for grace, heads in groups:
            for place, head in enumerate(heads):
                if not isinstance(head.sound, Pitch):
                    continue
                sound = head.sound
                printed = sound + voice.transposition if voice.transposition else sound
                continues = grace is None and sound in held
                courtesy = HeadMark.COURTESY in head.marks
                where = HeadPlace(index, number, place, grace)
                turn = 0 if event.duration else number
                yield Note(where, event.start, turn, event.bar, printed, continues, courtesy)
                if head.tied:
                    tied.append(sound)
        held = tied
