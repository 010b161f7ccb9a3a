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
class _Times:
    """When a sound begins and ends in the performance, in whole notes and in seconds."""

    start: Fraction
    end: Fraction
    seconds: Fraction
    until: Fraction

    @classmethod
    def of(cls, here: Pass, start: Fraction, end: Fraction, tempos: TempoMap) -> "_Times":
        """Of what lies between two moments of the page."""
        return cls(
            played(here, start),
            played(here, end),
            heard(here, start, tempos),
            heard(here, end, tempos),
        )


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
        # Heads that neither a shift nor an arpeggio moves share their times.
        together = self._times(here, event, even, end)
        for at, head in enumerate(event.heads):
            own = together
            if head.shift is not None or EventMark.ARPEGGIO in event.marks:
                shift = shift_of(head, even, self.tempos)
                late = self.tempos.whole_notes(even, _spread(event, at))
                start = even + shift + min(late, (end - even) / 4)
                # A shift moves the whole sound, so that a line played late stays connected.
                own = self._times(here, event, start, max(start, end + shift))
            name = head_id(self.voice.name, index, at, len(event.heads))
            loudness = of_head(event, head, level)
            notes = [
                self.note(sound, times, loudness, name)
                for sound, times in self._sounds(here, event, head, own)
            ]
            found.append((head, notes))
        return found

    def _times(self, here: Pass, event: Event, start: Fraction, until: Fraction) -> _Times:
        """Of a sound between two moments of the page, which staccato cuts short."""
        if EventMark.STACCATO in event.marks:
            until = start + (until - start) / 2
        return _Times.of(here, start, until, self.tempos)

    def _sounds(
        self, here: Pass, event: Event, head: Head, times: _Times
    ) -> list[tuple[Pitch | Drum, _Times]]:
        """What a head sounds: itself, or the notes of its ornament."""
        mark = ornament_of(event, head)
        if mark is None or times.start >= times.end:
            return [(head.sound, times)]
        key = self.score.key_at(event.start)
        page = times.start - here.at + here.start, times.end - here.at + here.start
        return [
            (
                neighbor(head.sound, part.side, key),
                _Times.of(here, part.start, part.end, self.tempos),
            )
            for part in parts_of(mark, *page, self.tempos)
        ]

    def graces(self, here: Pass, index: int, level: int) -> Iterator[PlayedNote]:
        """The grace notes before an event, the last ending where it begins."""
        event = self.voice.events[index]
        if not event.graces:
            return
        end = swung_in(self.score, self.voice, index, event.start)
        longest = self.tempos.whole_notes(end, _GRACE)
        for place in reversed(range(len(event.graces))):
            grace = event.graces[place]
            start = end - min(grace.value, longest)
            name = grace_id(self.voice.name, index, place)
            times = _Times.of(here, start, end, self.tempos)
            for head in grace.heads:
                yield self.note(head.sound, times, level, name)
            end = start

    def note(self, sound: Pitch | Drum, times: _Times, loudness: int, name: str) -> PlayedNote:
        """One sound."""
        start, end, seconds, until = times.start, times.end, times.seconds, times.until
        return PlayedNote(self.place, sound, start, end, seconds, until, loudness, (name,))


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
