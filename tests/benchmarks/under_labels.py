"""What music sounds under its labels, worked out plainly and apart from the checks it judges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stavewright.notation import parse_block
from stavewright.theory import Pitch

if TYPE_CHECKING:
    from fractions import Fraction

    from stavewright.notation.score import ChordEvent, Event, Head, NumeralEvent, Score
    from stavewright.theory import Chord

    Label = ChordEvent | NumeralEvent


@dataclass(frozen=True, slots=True)
class Struck:
    """One written note head with a pitch."""

    pitch: Pitch
    start: Fraction
    end: Fraction
    head: Head
    event: Event
    voice: int
    at: int
    """Index of the event in its voice."""

    def share(self, start: Fraction, end: Fraction) -> Fraction:
        """Which part of a stretch the note fills."""
        return max(min(self.end, end) - max(self.start, start), start - start) / (end - start)


@dataclass(frozen=True, slots=True)
class Music:
    """A block, read."""

    text: str
    score: Score
    notes: tuple[Struck, ...]

    def under(self, label: Label) -> list[Struck]:
        return [n for n in self.notes if n.start < label.end and n.end > label.start]

    def labels_over(self, start: Fraction) -> list[Label]:
        labels: list[Label] = [*self.score.chords, *self.score.numerals]
        return [e for e in labels if e.start <= start < e.end and chord_of(e) is not None]

    def neighbours(self, note: Struck) -> tuple[list[Pitch], list[Pitch]]:
        """The pitches just before and just after in the note's voice."""
        events = self.score.voices[note.voice].events
        before = events[note.at - 1].heads if note.at else ()
        after = events[note.at + 1].heads if note.at + 1 < len(events) else ()
        return _pitches(before), _pitches(after)

    def most_at_once(self, label: Label) -> int:
        here = self.under(label)
        return max((sum(o.start <= n.start < o.end for o in here) for n in here), default=0)

    def lowest(self, label: Label) -> list[Struck]:
        """The lowest note at every moment at which one is struck."""
        here = self.under(label)
        found = []
        for moment in {max(note.start, label.start) for note in here}:
            there = [note for note in here if note.start <= moment < note.end]
            found.append(min(there, key=lambda note: note.pitch))
        return found

    def lowest_first(self, label: Label) -> Struck:
        """The lowest note at the label's first moment, or the first after it."""
        here = self.under(label)
        moment = max(min(note.start for note in here), label.start)
        there = [note for note in here if note.start <= moment < note.end]
        return min(there, key=lambda note: note.pitch)


def read(text: str) -> Music:
    score = parse_block(text).score
    notes = [
        Struck(head.sound, event.start, event.end, head, event, number, at)
        for number, voice in enumerate(score.voices)
        for at, event in enumerate(voice.events)
        for head in event.heads
        if isinstance(head.sound, Pitch) and event.duration
    ]
    return Music(text, score, tuple(notes))


def chord_of(label: Label) -> Chord | None:
    """The chord that a label names."""
    from stavewright.notation.score import NumeralEvent

    if not isinstance(label, NumeralEvent):
        return label.chord
    if label.numeral is None or label.key is None:
        return None
    readings = label.numeral.readings(label.key)
    return readings[0] if readings else None


def is_stepwise(one: Pitch, other: Pitch) -> bool:
    """Whether a line may go from one to the other without a leap, or stay."""
    return abs(one.cents - other.cents) <= 200


def _pitches(heads: tuple[Head, ...]) -> list[Pitch]:
    return [head.sound for head in heads if isinstance(head.sound, Pitch)]
