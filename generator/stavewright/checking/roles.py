"""Labels that say what a note is: the third of its chord, the leading tone of its key.

Only what is certain is questioned: a chord tone that is called another tone of the same chord, and
a degree of the key under the name of another degree. A word that may mean something else where it
stands (a third above the bass, the third degree) is left alone.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from stavewright.checking.keys import key_at
from stavewright.checking.labelled import labelled_events
from stavewright.checking.verdicts import Verdict
from stavewright.checking.words import DEGREE_WORDS
from stavewright.notation.finding import Severity
from stavewright.notation.labels import quoted
from stavewright.notation.score import Event, Head, Score, Voice
from stavewright.notation.source import Span
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key
from stavewright.theory.pitch import Pitch, PitchName

_LABEL = re.compile(r"(?:(?:the|a) )?(?P<word>[a-z ]+)")
_CHORD_WORDS = {word: number for number, word in DEGREE_WORDS.items()}
_DEGREES = {
    "tonic": "1",
    "keynote": "1",
    "supertonic": "2",
    "subdominant": "4",
    "dominant": "5",
    "leading tone": "7",
    "leading note": "7",
    "subtonic": "b7",
    "raised sixth": "6",
    "raised seventh": "7",
}
"""What a degree's name means, counted against the major scale on the tonic."""
_HALF_STEP = 100


@dataclass(frozen=True, slots=True)
class WrongRole:
    """A label that calls a note something it is not."""

    span: Span
    """The label, or the note where it is the note that is wrong."""
    message: str
    right: str | None
    """What to write there."""
    severity: Severity = Severity.ERROR


def wrong_tones(score: Score, verdicts: tuple[Verdict, ...]) -> Iterator[WrongRole]:
    """Chord tones that their label calls another tone of the chord, under the given labels."""
    for _, _, _, event in labelled_events(score):
        verdict = _over(event, verdicts)
        if verdict is not None:
            key = key_at(score, event.start)
            for label in _labels(event):
                yield from _wrong_tone(label, verdict, key)


def wrong_degrees(score: Score) -> Iterator[WrongRole]:
    """Single notes whose label names a degree of the key that they are not."""
    for _, voice, at, event in labelled_events(score):
        degree = _DEGREES.get(_word(event.label)) if event.label else None
        if degree is None or len(event.heads) != 1:
            continue
        key = key_at(score, event.start)
        if key is None:
            continue
        for label in _labels(event):
            keys = (key,) if score.key is None else (key, score.key)
            homes = [each.tonic + _interval(degree) for each in keys]
            leads = "leading" in label.word and _rises_by_half_step(voice, at, label.pitch)
            if label.pitch.name not in homes and not leads:
                yield _wrong_degree(label, key, homes[0])


@dataclass(frozen=True, slots=True)
class _Label:
    """A label on one pitch."""

    text: str
    pitch: Pitch
    head: Head
    span: Span

    @property
    def word(self) -> str:
        """What it calls the note, in lower case and without article; empty for a sentence."""
        return _word(self.text)


def _labels(event: Event) -> Iterator[_Label]:
    """Each label that belongs to one pitch."""
    alone = len(event.heads) == 1
    for head in event.heads:
        owner = event if alone else head
        if owner.label is not None and owner.label_span and isinstance(head.sound, Pitch):
            yield _Label(owner.label, head.sound, head, owner.label_span)


def _wrong_degree(label: _Label, key: Key, right: PitchName) -> WrongRole:
    message = f"{label.pitch} is not the {label.word} of {key}: that is {right}"
    if label.pitch.letter is not right.letter:
        # Another key may be meant here.
        return WrongRole(label.span, message, None, Severity.WARNING)
    # On the right letter the accidental is wrong, and a tie would have to change with it.
    better = None if label.head.tied else str(right.at(label.pitch.octave))
    return WrongRole(label.head.span or label.span, message, better)


def _wrong_tone(label: _Label, verdict: Verdict, key: Key | None) -> Iterator[WrongRole]:
    chord, number = verdict.reading.chord, _CHORD_WORDS.get(label.word)
    tone = chord.tone(label.pitch.name)
    if number is None or tone is None or tone.number == number or chord.root is None:
        return
    if key is not None and key.degree(label.pitch.name)[0] == number:
        return
    word, said = DEGREE_WORDS.get(tone.number), chord.tone_numbered(number)
    of = f"; that is {said.name}" if said is not None else ""
    message = f"{label.pitch} is not the {label.word} of {verdict.reading.text}{of}"
    if word is None:
        yield WrongRole(label.span, message, None)
        return
    better = quoted(label.text.lower().replace(label.word, word))
    yield WrongRole(label.span, f"{message}. It is the {word}", better)


def _word(label: str) -> str:
    match = _LABEL.fullmatch(label.strip().lower())
    return match["word"] if match else ""


def _interval(degree: str) -> Interval:
    flat = degree.startswith("b")
    return Interval.of_degree(int(degree.lstrip("b")), -_HALF_STEP if flat else 0)


def _over(event: Event, verdicts: tuple[Verdict, ...]) -> Verdict | None:
    """The label that holds where the event begins."""
    return next((v for v in verdicts if v.reading.start <= event.start < v.reading.end), None)


def _rises_by_half_step(voice: Voice, at: int, pitch: Pitch) -> bool:
    """Whether the next event has the note a half step and a letter above: a local leading tone."""
    after = voice.events[at + 1].heads if at + 1 < len(voice.events) else ()
    goals = [head.sound for head in after if isinstance(head.sound, Pitch)]
    return any(pitch.interval_to(goal) == Interval(1, _HALF_STEP) for goal in goals)
