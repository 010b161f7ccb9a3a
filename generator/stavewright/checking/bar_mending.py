"""How a bar that does not add up was plainly meant: one note value, or one bar sign.

A bar can nearly always be mended in several ways, and then nothing is offered. Two slips leave one
way only: a single note value of which the half, the double or a dot makes the bar right, and two
bars run together for want of the sign between them.
"""

from dataclasses import dataclass
from fractions import Fraction

from stavewright.notation.score import BarSign, Event, Score, Voice
from stavewright.notation.source import Span
from stavewright.notation.values import show_value
from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import NoteValue

_SLIPS = (Fraction(1, 2), Fraction(2), Fraction(2, 3), Fraction(3, 2))
"""A value that was meant over the one written: half or twice of it, with a dot or without."""


@dataclass(frozen=True, slots=True)
class Repair:
    """What to write, and in whose place."""

    span: Span
    text: str


def repair_of(score: Score, voice: Voice, number: int) -> Repair | None:
    """The one plain way to make a bar of a voice add up; None where there are several or none.

    `number` is the bar's index.
    """
    bar, length = score.bars[number], voice.bars[number].length
    if bar.expected is None or _may_be_a_part(score, voice, number):
        return None
    inside = [at for at, event in enumerate(voice.events) if event.bar == number]
    if length == 2 * bar.expected and _lacks_a_bar(score, voice):
        return _missing_sign(score, voice, inside, bar.start + bar.expected)
    values = [_other_value(voice, at, bar.expected - length) for at in inside]
    found = [repair for repair in values if repair is not None]
    return found[0] if len(found) == 1 else None


def _may_be_a_part(score: Score, voice: Voice, number: int) -> bool:
    """Whether a bar may be meant short: beside a repeat sign, or with a pickup not named as one."""
    bar, length = score.bars[number], voice.bars[number].length
    if bar.opening is not BarSign.SINGLE or bar.closing is BarSign.REPEAT_END:
        return True
    if bar.expected is None or number not in (0, len(score.bars) - 1):
        return False
    ends = voice.bars[0].length + voice.bars[-1].length
    return length * 2 <= bar.expected or (len(voice.bars) > 1 and ends == bar.expected)


def _lacks_a_bar(score: Score, voice: Voice) -> bool:
    """Whether one bar more would not be one too many."""
    counts = [len(other.bars) for other in score.voices if other is not voice]
    counts += [len(bars) for bars in (score.chord_bars, score.numeral_bars) if bars]
    return not counts or len(voice.bars) < max(counts)


def _missing_sign(score: Score, voice: Voice, inside: list[int], middle: Fraction) -> Repair | None:
    """A bar sign before the note on which the second of two bars begins."""
    at = next((at for at in inside if voice.events[at].start == middle), None)
    if at is None or at == 0 or _opens_something(score, voice, at):
        return None
    event = voice.events[at]
    own = event.value_span
    if own is None or own == voice.events[at - 1].value_span or event.value is None:
        # No value stands before the note that could be told apart from it.
        return None
    return Repair(own, f"| {show_value(event.value)}")


def _opens_something(score: Score, voice: Voice, at: int) -> bool:
    """Whether a group, a change or a grace note may stand between a note and its value."""
    event = voice.events[at]
    changes = {change.at for change in score.key_changes}
    changes |= {change.at for change in score.meter_changes}
    changes |= {change.at for change in score.tempo_changes}
    changes |= {change.at for change in score.clef_changes}
    return (
        bool(event.graces)
        or event.dynamic is not None
        or _is_in_tuplet(voice, at)
        or any(slur.first <= at <= slur.last for slur in voice.slurs)
        or event.start in changes
    )


def _other_value(voice: Voice, at: int, missing: Fraction) -> Repair | None:
    """Another value for one note, said for it alone, with which the bar adds up."""
    event = voice.events[at]
    if event.value is None or event.value_span is None or not _is_alone(voice.events, at):
        return None
    right = event.value + missing
    if _is_in_tuplet(voice, at) or right / event.value not in _SLIPS:
        return None
    try:
        NoteValue.from_length(right)
    except TheoryError:
        # A length that one note cannot show was not meant either.
        return None
    return Repair(event.value_span, show_value(right))


def _is_alone(events: tuple[Event, ...], at: int) -> bool:
    """Whether a note's value was said for it and no other."""
    span = events[at].value_span
    return sum(event.value_span == span for event in events) == 1


def _is_in_tuplet(voice: Voice, at: int) -> bool:
    return any(tuplet.first <= at <= tuplet.last for tuplet in voice.tuplets)
