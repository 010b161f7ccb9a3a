"""The notes of one voice as they are played: ties merged, marks carried out.

What is done with the marks, all common practice: a staccato note sounds half its time; grace notes
are played quickly before the note they belong to, at most 70 ms each; an arpeggio spreads a chord
from below, 35 ms a note. What trills, turns and mordents do stands in `ornaments`.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.ids import grace_id, head_id
from stavewright.figures.sound.clockwork import Pass, heard, played
from stavewright.figures.sound.loudness import MIDDLING, of_head, steady
from stavewright.figures.sound.ornaments import neighbor, ornament_of, parts_of
from stavewright.figures.sound.performance import PlayedNote
from stavewright.figures.timeline import TempoMap, shift_of, swung_in
from stavewright.notation.score import Drum, Event, EventMark, Head, Score, Voice
from stavewright.theory import Pitch

_GRACE: Final = Fraction(70, 1000)
_SPREAD: Final = Fraction(35, 1000)


@dataclass(frozen=True, slots=True)
class _Player:
    """What is the same for every note of a voice."""

    score: Score
    voice: Voice
    place: int
    tempos: TempoMap

    def event(self, here: Pass, index: int, level: int) -> list[tuple[Head, list[PlayedNote]]]:
        """The heads of an event in one pass, each as if it were not tied; ornaments as notes."""
        event = self.voice.events[index]
        even = swung_in(self.score, self.voice, index, event.start)
        end = swung_in(self.score, self.voice, index, event.end)
        found = []
        for at, head in enumerate(event.heads):
            shift = shift_of(head, even, self.tempos)
            late = self.tempos.whole_notes(even, _spread(event, at))
            start = even + shift + min(late, (end - even) / 4)
            # A shift moves the whole sound, so that a line played late stays connected.
            until = max(start, end + shift)
            if EventMark.STACCATO in event.marks:
                until = start + (until - start) / 2
            name = head_id(self.voice.name, index, at, len(event.heads))
            loudness = of_head(event, head, level)
            played_as = self._ornamented(event, head, (start, until))
            notes = [self.note(here, *sound, loudness, name) for sound in played_as]
            found.append((head, notes))
        return found

    def _ornamented(
        self, event: Event, head: Head, times: tuple[Fraction, Fraction]
    ) -> list[tuple[Pitch | Drum, tuple[Fraction, Fraction]]]:
        """What a head sounds: itself, or the notes of its ornament."""
        mark = ornament_of(event, head)
        if mark is None or times[0] >= times[1]:
            return [(head.sound, times)]
        key = self.score.key_at(event.start)
        return [
            (neighbor(head.sound, part.side, key), (part.start, part.end))
            for part in parts_of(mark, *times, self.tempos)
        ]

    def graces(self, here: Pass, index: int, level: int) -> Iterator[PlayedNote]:
        """The grace notes before an event, the last ending where it begins."""
        event = self.voice.events[index]
        end = swung_in(self.score, self.voice, index, event.start)
        longest = self.tempos.whole_notes(end, _GRACE)
        for place in reversed(range(len(event.graces))):
            grace = event.graces[place]
            start = end - min(grace.value, longest)
            name = grace_id(self.voice.name, index, place)
            for head in grace.heads:
                yield self.note(here, head.sound, (start, end), level, name)
            end = start

    def note(
        self,
        here: Pass,
        sound: Pitch | Drum,
        times: tuple[Fraction, Fraction],
        loudness: int,
        name: str,
    ) -> PlayedNote:
        """One sound between two moments of the page."""
        start, end = times
        return PlayedNote(
            self.place,
            sound,
            played(here, start),
            played(here, end),
            heard(here, start, self.tempos),
            heard(here, end, self.tempos),
            loudness,
            (name,),
        )


def play_voice(
    score: Score, place: int, order: Sequence[Pass], tempos: TempoMap
) -> tuple[list[PlayedNote], list[range]]:
    """The sounds of the voice at `place` in the order played, and the stretches of ornaments."""
    voice = score.voices[place]
    player = _Player(score, voice, place, tempos)
    levels = _levels(voice.events)
    by_bar: dict[int, list[int]] = {}
    for index, event in enumerate(voice.events):
        by_bar.setdefault(event.bar, []).append(index)
    notes: list[PlayedNote] = []
    ornaments: list[range] = []
    held: Mapping[object, int] = {}
    for here in order:
        for index in by_bar.get(here.bar, ()):
            notes += player.graces(here, index, levels[index])
            held = _join(notes, ornaments, player.event(here, index, levels[index]), held)
    return notes, ornaments


def _join(
    notes: list[PlayedNote],
    ornaments: list[range],
    struck: Sequence[tuple[Head, list[PlayedNote]]],
    held: Mapping[object, int],
) -> Mapping[object, int]:
    """Add an event's notes, those that are held over to the notes they are tied to.

    `held` says which sounds are held, and where each is in `notes`; so does what comes back. A
    trill is held over by its last note, which is the written one; what is held has no other.
    """
    after: dict[object, int] = {}
    for head, sounds in struck:
        at = held.get(head.sound)
        if at is None:
            notes += sounds
            at = len(notes) - 1
            if len(sounds) > 1:
                ornaments.append(range(len(notes) - len(sounds), len(notes)))
        else:
            first, last = notes[at], sounds[-1]
            ids = (*first.ids, *last.ids)
            # In a bar that is too long, an error of its own, time may seem to run backward.
            end, until = max(first.end, last.end), max(first.until, last.until)
            notes[at] = replace(first, end=end, until=until, ids=ids)
        if head.tied:
            after[head.sound] = at
    return after


def _levels(events: Sequence[Event]) -> list[int]:
    """How loud each event is, by the dynamic before it on the page."""
    level = MIDDLING
    found = []
    for event in events:
        level = steady(event.dynamic, level)
        found.append(level)
    return found


def _spread(event: Event, at: int) -> Fraction:
    """Seconds by which an arpeggio delays the head `at`: nothing for its lowest."""
    if EventMark.ARPEGGIO not in event.marks:
        return Fraction(0)
    lower = [head for head in event.heads if _height(head.sound) < _height(event.heads[at].sound)]
    return _SPREAD * len(lower)


def _height(sound: Pitch | Drum) -> float:
    return sound.key_number
