"""Labels that say what a note is: the third of its chord, the leading tone of its key.

Only what is certain is questioned: a chord tone that is called another tone of the same chord, and
a degree of the key under the name of another degree. A word that may mean something else where it
stands (a third above the bass, the third degree) is left alone.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from stavewright.checking.keys import key_at
from stavewright.checking.verdicts import Verdict
from stavewright.checking.words import DEGREE_WORDS
from stavewright.notation.event_text import event_text
from stavewright.notation.finding import Severity
from stavewright.notation.score import Event, Score, Voice
from stavewright.theory.interval import Interval
from stavewright.theory.pitch import Pitch, PitchName

_LABEL = re.compile(r"(?:(?:the|a) )?(?P<word>[a-z ]+)")
_CHORD_WORDS = {word: number for number, word in DEGREE_WORDS.items()}
_DEGREES: dict[str, tuple[str, ...]] = {
    "tonic": ("1",),
    "keynote": ("1",),
    "supertonic": ("2",),
    "subdominant": ("4",),
    "dominant": ("5",),
    "leading tone": ("7",),
    "leading note": ("7",),
    "subtonic": ("b7",),
    "raised sixth": ("6",),
    "raised seventh": ("7",),
}
"""What a degree's name means, counted against the major scale on the tonic."""
_HALF_STEP = 100


@dataclass(frozen=True, slots=True)
class WrongRole:
    """A label that calls a note something it is not."""

    event: Event
    label: str
    message: str
    right: str | None
    """The event put right, to be written in its place."""
    severity: Severity = Severity.ERROR


def wrong_tones(score: Score, verdicts: tuple[Verdict, ...]) -> Iterator[WrongRole]:
    """Chord tones that their label calls another tone of the chord, under the given labels."""
    for voice in score.voices:
        for event in voice.events:
            verdict = _over(event, verdicts)
            for label, pitch in _labelled(event):
                number = _CHORD_WORDS.get(_word(label))
                if verdict is not None and number is not None:
                    yield from _wrong_tone(event, label, pitch, number, verdict, score)


def wrong_degrees(score: Score) -> Iterator[WrongRole]:
    """Single notes whose label names a degree of the key that they are not."""
    for voice in score.voices:
        for at, event in enumerate(voice.events):
            key = key_at(score, event.start)
            pitch = event.heads[0].sound if len(event.heads) == 1 else None
            word = _word(event.label or "")
            if key is None or word not in _DEGREES or not isinstance(pitch, Pitch):
                continue
            right = [key.tonic + _interval(degree) for degree in _DEGREES[word]]
            keys = [key] if score.key is None else [key, score.key]
            homes = [each.tonic + _interval(d) for each in keys for d in _DEGREES[word]]
            leads = "leading" in word and _rises_by_half_step(voice, at, pitch)
            if pitch.name in homes or leads or event.label is None:
                continue
            message = f"{pitch} is not the {word} of {key}: that is {right[0]}"
            # On the right letter the accidental is wrong; elsewhere another key may be meant.
            same = pitch.letter is right[0].letter
            severity = Severity.ERROR if same else Severity.WARNING
            yield WrongRole(event, event.label, message, _with_note(event, right[0]), severity)


def _wrong_tone(
    event: Event, label: str, pitch: Pitch, number: int, verdict: Verdict, score: Score
) -> Iterator[WrongRole]:
    chord = verdict.reading.chord
    tone = chord.tone(pitch.name)
    said = chord.tone_numbered(number)
    key = key_at(score, event.start)
    is_degree = key is not None and key.degree(pitch.name)[0] == number
    if tone is None or tone.number == number or chord.root is None or is_degree:
        return
    word = DEGREE_WORDS.get(tone.number)
    of = f"; that is {said.name}" if said is not None else ""
    message = f"{pitch} is not the {_word(label)} of {verdict.reading.text}{of}"
    if word is None:
        yield WrongRole(event, label, message, None)
        return
    better = label.lower().replace(_word(label), word)
    message += f". It is the {word}"
    yield WrongRole(event, label, message, _relabelled(event, label, better))


def _labelled(event: Event) -> Iterator[tuple[str, Pitch]]:
    """Each label that belongs to one pitch."""
    alone = len(event.heads) == 1
    for head in event.heads:
        label = event.label if alone else head.label
        if label is not None and isinstance(head.sound, Pitch):
            yield label, head.sound


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


def _relabelled(event: Event, old: str, new: str) -> str:
    heads = tuple(replace(h, label=new) if h.label == old else h for h in event.heads)
    return event_text(heads, None, event.marks, new if event.label == old else event.label)


def _with_note(event: Event, name: PitchName) -> str | None:
    """The event with the degree that its label names, where it differs by an accidental alone."""
    head = event.heads[0]
    if not isinstance(head.sound, Pitch) or head.sound.letter is not name.letter:
        return None
    heads = (replace(head, sound=name.at(head.sound.octave)),)
    return event_text(heads, None, event.marks, event.label)
