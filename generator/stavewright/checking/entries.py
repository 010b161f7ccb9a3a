"""Entries of a subject that the author marks with labels: who enters when, with which notes.

`C4"subject"` begins the subject, `G4"answer"` an answer, in another voice; `"real answer"` and
`"tonal answer"` say which kind. The subject lasts until the next entry, or until a label in its own
voice names what follows: `"codetta"`, `"link"`, `"countersubject"`, `"episode"`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from itertools import pairwise
from typing import Final

from stavewright.checking.labelled import labelled_events
from stavewright.checking.sounding import Note, sounding
from stavewright.notation.score import Event, Score
from stavewright.notation.source import Span


class EntryKind(Enum):
    """What an entry's label calls it."""

    SUBJECT = "subject"
    ANSWER = "answer"
    """Real or tonal."""
    REAL = "real answer"
    TONAL = "tonal answer"


_KINDS: Final = {kind.value: kind for kind in EntryKind}
_ENDS: Final = frozenset({"codetta", "link", "countersubject", "episode", "bridge"})


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry, from its label on."""

    kind: EntryKind
    voice: int
    notes: tuple[Note, ...]
    """Up to the next label of its voice that ends it; at least one."""
    label_span: Span | None
    is_ended: bool
    """Whether such a label ends it."""

    @property
    def start(self) -> Fraction:
        """When it enters."""
        return self.notes[0].start


def entries(score: Score) -> tuple[Entry, ...]:
    """All labelled entries in order of time; voices in chords have none."""
    if not any(_word(event) in _KINDS for _, _, _, event in labelled_events(score)):
        return ()
    notes = sounding(score).notes
    found: list[Entry] = []
    for number in range(len(score.voices)):
        line = [note for note in notes if note.voice == number]
        if len({note.onset for note in line}) == len(line):
            found += _entries(score, number, line)
    return tuple(sorted(found, key=lambda entry: (entry.start, entry.voice)))


def subject_of(found: tuple[Entry, ...]) -> tuple[Note, ...]:
    """The notes of the first subject, as far as they are surely its own."""
    first = next((entry for entry in found if entry.kind is EntryKind.SUBJECT), None)
    if first is None:
        return ()
    if first.is_ended:
        return first.notes
    later = [entry.start for entry in found if entry.start > first.start]
    return tuple(note for note in first.notes if not later or note.start < min(later))


def _entries(score: Score, number: int, line: list[Note]) -> Iterator[Entry]:
    events = score.voices[number].events
    words = [_word(events[note.event]) for note in line]
    marked = [at for at, word in enumerate(words) if word in _KINDS or word in _ENDS]
    for at, end in pairwise((*marked, len(line))):
        if words[at] in _KINDS:
            span = events[line[at].event].label_span
            ended = end < len(line)
            yield Entry(_KINDS[words[at]], number, tuple(line[at:end]), span, ended)


def _word(event: Event) -> str:
    return " ".join(event.label.lower().split()) if event.label else ""
