"""How advice on a style is put: where it points, and what two notes make."""

from collections.abc import Callable, Iterable

from stavewright.checking.partwriting import Parts, parts_for
from stavewright.checking.rule import Check
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score

_WIDEST_NAMED = 15
_PLAIN_NAMES = {"perfect unison": "unison", "perfect fifteenth": "double octave"}


def where_asked(rule: str, advise: Callable[[Parts], Iterable[Finding | None]]) -> Check:
    """Make a check of what is said about the parts of a score; silent where no style asks."""

    def check(score: Score) -> tuple[Finding, ...]:
        parts = parts_for(score, rule)
        return () if parts is None else tuple(found for found in advise(parts) if found)

    return check


def advice(
    rule: str, note: Note, message: str, reason: str, suggestion: str | None = None
) -> Finding | None:
    """A finding at a note; None for a note that stands nowhere in the text."""
    if note.span is None:
        return None
    text = message[:1].upper() + message[1:]
    return Finding(rule, Severity.ADVICE, note.span, text, suggestion, reason)


def interval_words(parts: Parts, one: Note, other: Note) -> str:
    """`a perfect twelfth (C3 and G4)`: what two notes make, the lower first.

    Beyond two octaves the simple name is the one that is used.
    """
    low, high = sorted((one, other), key=lambda note: (note.pitch, -parts.line(note)))
    interval = low.pitch.interval_to(high.pitch).magnitude
    name = (interval.simple if interval.number > _WIDEST_NAMED else interval).name
    name = _PLAIN_NAMES.get(name, name)
    joint = "an" if name.startswith("augmented") else "a"
    return f"{joint} {name} ({low.pitch} and {high.pitch})"


def is_fifth(one: Note, other: Note) -> bool:
    """Whether two notes are a perfect fifth apart, octaves aside."""
    return _is_apart(one, other, 4, 700)


def is_octave(one: Note, other: Note) -> bool:
    """Whether two notes are a perfect octave apart, some octaves or none."""
    return _is_apart(one, other, 0, 0)


def _is_apart(one: Note, other: Note, steps: int, cents: int) -> bool:
    low, high = sorted((one.pitch, other.pitch), key=lambda pitch: pitch.staff_position)
    letters = high.staff_position - low.staff_position
    return letters % 7 == steps and (high.cents - low.cents) == cents + 1200 * (letters // 7)


def step_between(one: Note, other: Note) -> int:
    """Letters from one note to the next, upwards positive: 1 for a second up."""
    return other.pitch.staff_position - one.pitch.staff_position
