"""What must not reach the engraver.

Schema-valid MEI can still crash it or keep it busy for hours: chords of a thousand notes, groups
nested by the hundred, bars by the ten thousand. The parser refuses most of that, but a Score may
come from elsewhere, so everything is measured here once more.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from stavewright.figures.figure import EngravingFault
from stavewright.figures.mei.signatures import printed_key
from stavewright.notation import limits
from stavewright.notation.clefs import CLEFS
from stavewright.notation.score import Event, Score, Voice
from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import NoteValue
from stavewright.theory.pitch import Pitch

_MOST_ALTERATION: Final = 300
"""Cents: the engraver has signs up to three sharps or flats."""
_WIDEST_SIGNATURE: Final = 21
"""Three on every letter."""
_OCTAVES: Final = range(limits.LOWEST_OCTAVE, limits.HIGHEST_OCTAVE + 1)
_MOST_EVENTS: Final = 8000
"""In the whole block: about a second of the engraver's time."""


def fault_in(score: Score) -> EngravingFault | None:
    """Why a Score cannot be engraved, in words for its author; None if it can."""
    message = next(_faults(score), None)
    return None if message is None else EngravingFault(message)


def _faults(score: Score) -> Iterator[str]:
    if not score.staves or not score.bars or not score.voices:
        yield "there is no music to put on a staff: write notes, or show another view"
        return
    yield from _sizes(score)
    yield from _signatures(score)
    yield from _texts(score)
    for staff in score.staves:
        if staff.clef not in CLEFS:
            yield f"no clef is called {staff.clef}"
    for voice in score.voices:
        if not 0 <= voice.staff < len(score.staves):
            yield f"the voice {voice.name} stands on no staff"
        yield from _voice_faults(voice)


def _sizes(score: Score) -> Iterator[str]:
    if len(score.bars) > limits.MOST_BARS:
        yield f"a figure has at most {limits.MOST_BARS} bars; divide this one"
    if len(score.voices) > limits.MOST_VOICES or len(score.staves) > limits.MOST_VOICES:
        yield f"a figure has at most {limits.MOST_VOICES} voices"
    events = sum(len(voice.events) for voice in score.voices)
    if events > _MOST_EVENTS:
        yield f"a figure has at most {_MOST_EVENTS} notes and rests; divide this one"


def _signatures(score: Score) -> Iterator[str]:
    keys = [score.key, *(change.key for change in score.key_changes)]
    intervals = {None, *(voice.transposition for voice in score.voices)}
    for key in keys:
        for interval in intervals:
            printed = printed_key(key, interval)
            if printed is not None and abs(printed.signature) > _WIDEST_SIGNATURE:
                yield f"the signature of {printed.display} needs signs that no printer has"


def _texts(score: Score) -> Iterator[str]:
    labels = [event.label for event in score.chords]
    labels += [event.label for event in score.numerals]
    labels += [syllable.text for words in score.words for syllable in words.syllables]
    labels += [label for voice in score.voices for e in voice.events for label in _labels(e)]
    if any(label and len(label) > limits.LONGEST_LABEL for label in labels):
        yield f"a label has at most {limits.LONGEST_LABEL} characters"
    if any(not 1 <= words.verse <= limits.MOST_PASSES for words in score.words):
        yield f"verses are numbered from 1 to {limits.MOST_PASSES}"


def _labels(event: Event) -> list[str | None]:
    heads = [head.label for head in event.heads]
    return [event.label, *heads, *[grace.label for grace in event.graces]]


def _voice_faults(voice: Voice) -> Iterator[str]:
    if _depth(voice) > limits.DEEPEST_NESTING:
        yield f"groups can be nested {limits.DEEPEST_NESTING} deep at most"
    for event in voice.events:
        values = [event.value, *(grace.value for grace in event.graces)]
        yield from (fault for value in values if (fault := _value_fault(value)))
        groups = [event.heads, *(grace.heads for grace in event.graces)]
        for heads in groups:
            if len(heads) > limits.MOST_HEADS:
                yield f"at most {limits.MOST_HEADS} notes can sound at once in a voice"
            for head in heads:
                if isinstance(head.sound, Pitch):
                    yield from _pitch_faults(head.sound, voice)


def _value_fault(value: Fraction | None) -> str | None:
    if value is None:
        return None
    try:
        NoteValue.from_length(value)
    except TheoryError as error:
        return error.message
    return None


def _pitch_faults(pitch: Pitch, voice: Voice) -> Iterator[str]:
    printed = pitch + voice.transposition if voice.transposition else pitch
    if printed.octave not in _OCTAVES:
        yield f"{printed.display} lies too far from any staff to be printed"
    if abs(printed.cents_altered) > _MOST_ALTERATION + 50:
        yield f"no accidental shows {printed.display}; the most is three sharps or flats"


def _depth(voice: Voice) -> int:
    deepest = 0
    opened: list[int] = []
    for tuplet in voice.tuplets:
        opened = [last for last in opened if last >= tuplet.first]
        opened.append(tuplet.last)
        deepest = max(deepest, len(opened))
    return deepest
