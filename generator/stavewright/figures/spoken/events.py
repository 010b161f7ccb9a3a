"""One voice in one bar, event by event."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from stavewright.figures.spoken.tones import group_words, listed, sound_words, value_words
from stavewright.notation.score import (
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


def bar_of_voice(score: Score, voice: Voice, bar: int) -> str:
    """What a voice does in a bar; empty where it is silent and unprinted."""
    here = (place for place, event in enumerate(voice.events) if event.bar == bar)
    return ", ".join(words for place in here for words in event_words(score, voice, place))


def event_words(score: Score, voice: Voice, place: int) -> Iterator[str]:
    """One event of a voice, with what begins and ends there."""
    event = voice.events[place]
    for tuplet in voice.tuplets:
        if tuplet.first == place:
            yield f"{group_words(tuplet.actual, tuplet.normal)} begins"
    begins = any(slur.first == place for slur in voice.slurs)
    ends = any(slur.last == place for slur in voice.slurs)
    if begins and not ends:
        yield "slur begins"
    if event.dynamic:
        yield _DYNAMICS.get(event.dynamic, event.dynamic)
    for grace in event.graces:
        yield _grace_words(grace)
    if event.silence is not Silence.SPACE:
        yield _sounding_words(score, voice, place)
    if ends:
        yield "slur ends and another begins" if begins else "slur ends"
    for tuplet in reversed(voice.tuplets):
        if tuplet.last == place:
            yield f"{group_words(tuplet.actual, tuplet.normal)} ends"


def _sounding_words(score: Score, voice: Voice, place: int) -> str:
    event = voice.events[place]
    if event.fills_bar:
        words = "rest for the whole bar"
    elif event.silence is Silence.REST:
        words = f"{value_words(event.value or event.duration)} rest"
    else:
        words = _heads_words(event)
    extras = [
        _held_words(voice, place),
        *(mark.value for mark in EventMark if event.marks and mark in event.marks),
        f"labeled “{event.label}”" if event.label else "",
        _sung_words(score, voice, place) if score.words else "",
    ]
    return " ".join([words, *(extra for extra in extras if extra)])


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
    if HeadMark.GHOST in head.marks:
        words.insert(0, "ghost")
    if value:
        words.append(value)
    if HeadMark.COURTESY in head.marks:
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


def _held_words(voice: Voice, place: int) -> str:
    """Whether the notes are held from the event before, into the next, or both."""
    event = voice.events[place]
    before = voice.events[place - 1] if place else None
    tied = {head.sound for head in before.heads if head.tied} if before else set()
    held_from = bool(tied) and any(head.sound in tied for head in event.heads)
    into = [head for head in event.heads if head.tied]
    words = ["held"] if held_from else []
    if into and len(into) < len(event.heads):
        words.append(f"with {listed([sound_words(head.sound) for head in into])} tied on")
    elif into:
        words.append("tied on")
    return " and ".join(words)


def _sung_words(score: Score, voice: Voice, place: int) -> str:
    syllables = [
        syllable
        for words in score.words
        if words.voice == voice.name
        for syllable in words.syllables
        if syllable.event == place and syllable.text
    ]
    sung = [f"“{syllable.text}{'-' if syllable.hyphen else ''}”" for syllable in syllables]
    return f"sung {listed(sung)}" if sung else ""
