"""`interval:` the distance between two notes, by name or by size."""

from fractions import Fraction

from stavewright.checking.claim_truth import Truth
from stavewright.checking.words import article, counted
from stavewright.notation.claim import Between, Size, Statement, Subject
from stavewright.theory.interval import Interval
from stavewright.theory.pitch import Pitch, PitchName

_REASON = "Letters give an interval its number, the sound its quality."


def interval_truth(subject: Subject, statement: Statement, written: str) -> Truth | None:
    """The truth about an interval; None for sides that cannot be compared."""
    if not isinstance(subject, Between | Interval):
        return None
    actual = _distance(subject).magnitude
    name = _shown(subject)
    if isinstance(statement, Size):
        return _size(actual, name, statement, written)
    if not isinstance(statement, Between | Interval):
        return None
    said = _distance(statement).magnitude
    size = _half_steps(Fraction(actual.cents))
    fact = f"{name} is {article(actual.name)}, {size}"
    are_names = isinstance(subject, Interval) and isinstance(statement, Interval)
    if are_names:
        fact = f"{name} spans {counted(actual.number, 'letter')} and {size}"
    right = actual.name if len(written) > 3 else actual.short
    if isinstance(statement, Between):
        right = _between_like(statement, actual)
    return Truth(
        said == actual,
        said.cents == actual.cents,
        fact,
        right,
        reason=_REASON,
        are_names=are_names,
    )


def _distance(side: Between | Interval) -> Interval:
    if isinstance(side, Interval):
        return side
    if isinstance(side.low, Pitch) and isinstance(side.high, Pitch):
        return side.low.interval_to(side.high)
    return _name(side.low).interval_to(_name(side.high))


def _name(note: Pitch | PitchName) -> PitchName:
    return note.name if isinstance(note, Pitch) else note


def _shown(side: Between | Interval) -> str:
    if isinstance(side, Between):
        return f"{side.low} to {side.high}"
    return article(side.name)


def _between_like(side: Between, actual: Interval) -> str:
    return f"{side.low} to {side.low + actual}"


def _size(actual: Interval, name: str, said: Size, written: str) -> Truth:
    equal = said.cents == actual.cents
    cents = Fraction(actual.cents)
    if "cent" in written:
        right = f"{_number(cents)} cents"
    elif "whole" in written or "tone" in written.replace("semitone", ""):
        right = _counted(cents / 200, "whole step")
    else:
        right = _half_steps(cents)
    fact = f"{name} is {article(actual.name)}, {right}"
    return Truth(equal, equal, fact, right)


def _half_steps(cents: Fraction) -> str:
    return _counted(cents / 100, "half step")


def _counted(count: Fraction, word: str) -> str:
    return f"{_number(count)} {word}{'' if count == 1 else 's'}"


def _number(count: Fraction) -> str:
    return str(count) if count.denominator == 1 else f"{float(count):.2f}".rstrip("0")
