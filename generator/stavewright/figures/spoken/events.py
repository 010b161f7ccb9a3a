"""The events of one voice in words."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.figures.spoken.tones import group_words, listed, sound_words, value_words
from stavewright.notation.score import (
    Drum,
    Event,
    EventMark,
    Grace,
    Head,
    HeadMark,
    Score,
    Shift,
    Silence,
    Voice,
)
from stavewright.theory.pitch import Pitch

UNNAMED: Final = frozenset({"notes", "drums"})
"""Voices that no author named: alone in a score they go without saying."""
_HANDS: Final = {"right": "right hand", "left": "left hand", "rh": "right hand", "lh": "left hand"}
_DYNAMICS: Final = {
    "ppp": "pianississimo",
    "pp": "pianissimo",
    "p": "piano",
    "mp": "mezzo piano",
    "mf": "mezzo forte",
    "f": "forte",
    "ff": "fortissimo",
    "fff": "fortississimo",
    "sf": "sforzando",
    "sfz": "sforzando",
    "fp": "forte, at once piano",
    "rf": "rinforzando",
    "rfz": "rinforzando",
    "fz": "forzando",
    "n": "niente",
}


def voice_words(voice: Voice) -> str:
    """A voice's name as it is said: `right hand`, `first violin`."""
    return _HANDS.get(voice.name, voice.name.replace("-", " "))


def told_events(score: Score, voice: Voice) -> list[str]:
    """Each event of a voice, with what begins and ends there; empty where it has no words."""
    around, sung = _Around.of(voice), _sung(score, voice)
    told = []
    held: Sequence[Pitch | Drum] = ()
    for index, event in enumerate(voice.events):
        said = [*around.before.get(index, ()), *_preparing(event)]
        if event.silence is not Silence.SPACE:
            said.append(_sounding_words(event, held, sung.get(index, [])))
        said += around.after.get(index, ())
        told.append(", ".join(said))
        held = [head.sound for head in event.heads if head.tied]
    return told


@dataclass(frozen=True, slots=True)
class _Around:
    """The groups and slurs that begin and end at the events of a voice, in words, by index."""

    before: Mapping[int, Sequence[str]]
    after: Mapping[int, Sequence[str]]

    @classmethod
    def of(cls, voice: Voice) -> "_Around":
        """Those of a voice."""
        before: defaultdict[int, list[str]] = defaultdict(list)
        after: defaultdict[int, list[str]] = defaultdict(list)
        for tuplet in voice.tuplets:
            before[tuplet.first].append(f"{group_words(tuplet.actual, tuplet.normal)} begins")
        begins = {slur.first for slur in voice.slurs}
        ends = {slur.last for slur in voice.slurs}
        for place in begins - ends:
            before[place].append("slur begins")
        for place in ends:
            after[place].append("slur ends and another begins" if place in begins else "slur ends")
        for tuplet in reversed(voice.tuplets):
            after[tuplet.last].append(f"{group_words(tuplet.actual, tuplet.normal)} ends")
        return cls(before, after)


def _sung(score: Score, voice: Voice) -> Mapping[int | None, list[str]]:
    """The syllables of all verses under a voice, by the index of the event they are sung on."""
    found: defaultdict[int | None, list[str]] = defaultdict(list)
    for words in score.words:
        for syllable in words.syllables if words.voice == voice.name else ():
            if syllable.text:
                text = f"“{syllable.text}{'-' if syllable.hyphen else ''}”"
                found[syllable.event].append(text)
    return found


def _preparing(event: Event) -> Iterator[str]:
    """What is said of an event before it sounds: a dynamic, grace notes."""
    if event.dynamic:
        yield _DYNAMICS.get(event.dynamic, event.dynamic)
    for grace in event.graces:
        yield _grace_words(grace)


def _sounding_words(event: Event, held: Sequence[Pitch | Drum], sung: list[str]) -> str:
    """What sounds, or rests; `held` are the sounds that are tied to it."""
    if event.fills_bar:
        words = ["rest for the whole bar"]
    elif event.silence is Silence.REST:
        words = [f"{value_words(event.value or event.duration)} rest"]
    else:
        words = [_heads_words(event)]
    ties = _tie_words(event, held)
    if ties:
        words.append(ties)
    if event.marks:
        words += [mark.value for mark in EventMark if mark in event.marks]
    if event.label:
        words.append(f"labeled “{event.label}”")
    if sung:
        words.append(f"sung {listed(sung)}")
    return " ".join(words)


def _heads_words(event: Event) -> str:
    """The notes, from the lowest as written, and how long they are."""
    value = "" if event.value is None else value_words(event.value)
    if len(event.heads) == 1:
        return _head_words(event.heads[0], value)
    names = listed([_head_words(head) for head in event.heads])
    return f"{names} together {value}".rstrip()


def _head_words(head: Head, value: str = "") -> str:
    """A note, its value if it has one to itself, and what is said of it."""
    words = [sound_words(head.sound)]
    if head.marks and HeadMark.GHOST in head.marks:
        words.insert(0, "ghost")
    if value:
        words.append(value)
    if head.marks and HeadMark.COURTESY in head.marks:
        words.append("with a reminding accidental")
    if head.emphasised:
        words.append("emphasized")
    if head.shift is not None:
        words.append(_shift_words(head.shift))
    if head.label:
        words.append(f"labeled “{head.label}”")
    return " ".join(words)


def _shift_words(shift: Shift) -> str:
    amount = shift.note_value if shift.note_value is not None else shift.milliseconds
    amount = amount if amount is not None else Fraction(0)
    how = "early" if amount < 0 else "late"
    if shift.note_value is not None:
        return f"{how} by a {abs(amount)} note"
    return f"{how} by {float(abs(amount)):g} milliseconds"


def _grace_words(grace: Grace) -> str:
    notes = listed([_head_words(head) for head in grace.heads])
    label = f" labeled “{grace.label}”" if grace.label else ""
    return f"grace note {notes}{label}"


def _tie_words(event: Event, held: Sequence[Pitch | Drum]) -> str:
    """Whether the notes are held from the event before, into the next, or both."""
    words = ["held"] if held and any(head.sound in held for head in event.heads) else []
    into = [head.sound for head in event.heads if head.tied]
    if into and len(into) < len(event.heads):
        words.append(f"with {listed([sound_words(sound) for sound in into])} tied on")
    elif into:
        words.append("tied on")
    return " and ".join(words)
