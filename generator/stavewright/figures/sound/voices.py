"""What the events of a voice sound like: their marks carried out, at the times of the page.

What is done with the marks, all common practice: a staccato note sounds half its time; grace notes
are played quickly before the note they belong to, at most 70 ms each; an arpeggio spreads a chord
from below, 35 ms a note. What trills, turns and mordents do stands in `ornaments`; what ties and
repeats do, in `playing`.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.ids import grace_id, head_id
from stavewright.figures.sound.loudness import MIDDLING, of_head, steady
from stavewright.figures.sound.ornaments import neighbor, ornament_of, parts_of
from stavewright.figures.timeline import TempoMap, VoiceSwing, shift_of
from stavewright.notation.score import Drum, Event, EventMark, Score, Voice
from stavewright.theory import Pitch

_GRACE: Final = Fraction(70, 1000)
_SPREAD: Final = Fraction(35, 1000)


@dataclass(frozen=True, slots=True)
class Sound:
    """One sound, once, however often its bar is played."""

    sound: Pitch | Drum
    start: Fraction
    """Whole notes from the beginning of the page, after swing, shift and marks."""
    length: Fraction
    """How long it is held, in whole notes."""
    loudness: int
    """1 to 127, as MIDI counts velocity."""
    id: str
    """`data-id` of what stands for it."""
    is_tied: bool = False
    """Whether its head is held over into the next event."""


@dataclass(frozen=True, slots=True)
class Sounding:
    """What an event of a voice sounds, as if nothing were held over to it; a rest nothing."""

    bar: int
    """Index into `Score.bars`."""
    graces: tuple[Sound, ...]
    """From the last, which ends where the event begins, to the first."""
    heads: tuple[tuple[Sound, ...], ...]
    """Of each head one, or those of its ornament, of which the last is the written one."""


def soundings(score: Score, voice: Voice, tempos: TempoMap) -> tuple[Sounding, ...]:
    """What each event of a voice sounds."""
    reading = _Reading(score, voice, tempos, VoiceSwing.of(score, voice))
    level = MIDDLING
    found = []
    for index, event in enumerate(voice.events):
        level = steady(event.dynamic, level) if event.dynamic else level
        found.append(reading.sounding(index, event, level))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Reading:
    """What is the same for every event of a voice."""

    score: Score
    voice: Voice
    tempos: TempoMap
    swing: VoiceSwing

    def sounding(self, index: int, event: Event, level: int) -> Sounding:
        """What an event sounds at a level of loudness."""
        if not event.heads and not event.graces:
            return Sounding(event.bar, (), ())
        times = self.swing.times(index, event)
        graces = self._graces(index, event, times[0], level) if event.graces else ()
        heads = [self._sounds(index, event, at, times, level) for at in range(len(event.heads))]
        return Sounding(event.bar, graces, tuple(heads))

    def _sounds(
        self, index: int, event: Event, at: int, times: tuple[Fraction, Fraction], level: int
    ) -> tuple[Sound, ...]:
        """What the head `at` of an event sounds: itself, or the notes of its ornament."""
        head = event.heads[at]
        name = head_id(self.voice.name, index, at, len(event.heads))
        loudness = of_head(event, head, level)
        if not event.marks and head.shift is None:
            return (Sound(head.sound, *times, loudness, name, head.tied),)
        start, length = self._moved(event, at, *times)
        mark = ornament_of(event, head) if length > 0 else None
        if mark is None:
            return (Sound(head.sound, start, length, loudness, name, head.tied),)
        key = self.score.key_at(event.start)
        return tuple(
            Sound(
                neighbor(head.sound, it.side, key), it.start, it.length, loudness, name, head.tied
            )
            for it in parts_of(mark, start, length, self.tempos)
        )

    def _moved(
        self, event: Event, at: int, start: Fraction, length: Fraction
    ) -> tuple[Fraction, Fraction]:
        """When, and how long, a head sounds that a shift or marks move off its event's times."""
        begins = start
        if EventMark.ARPEGGIO in event.marks:
            late = min(self.tempos.whole_notes(start, _spread(event, at)), length / 4)
            begins, length = start + late, length - late
        if event.heads[at].shift is not None:
            # A shift moves the whole sound, so that a line played late stays connected.
            begins += shift_of(event.heads[at], start, self.tempos)
        return begins, length / 2 if EventMark.STACCATO in event.marks else length

    def _graces(self, index: int, event: Event, end: Fraction, level: int) -> tuple[Sound, ...]:
        """The grace notes before an event that begins at `end`, from the last to the first."""
        longest = self.tempos.whole_notes(end, _GRACE)
        found = []
        for place in reversed(range(len(event.graces))):
            grace = event.graces[place]
            length = min(grace.value, longest)
            end -= length
            name = grace_id(self.voice.name, index, place)
            found += [Sound(head.sound, end, length, level, name) for head in grace.heads]
        return tuple(found)


def _spread(event: Event, at: int) -> Fraction:
    """Seconds by which an arpeggio delays the head `at`: nothing for its lowest."""
    lower = [head for head in event.heads if _height(head.sound) < _height(event.heads[at].sound)]
    return _SPREAD * len(lower)


def _height(sound: Pitch | Drum) -> float:
    return sound.key_number
