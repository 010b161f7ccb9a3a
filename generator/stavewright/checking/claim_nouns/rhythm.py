"""`rhythm:` note values that last the same."""

from stavewright.checking.claim_truth import Truth
from stavewright.notation.claim import Statement, Subject, Values
from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import split


def rhythm_truth(subject: Subject, statement: Statement, written: str) -> Truth | None:
    """The truth about note values; None for sides that cannot be compared."""
    del written
    if not isinstance(subject, Values) or not isinstance(statement, Values):
        return None
    equal = subject.total == statement.total
    fact = f"the left side lasts {subject.total} of a whole note, the right {statement.total}"
    return Truth(equal, equal, fact, _as_notes(subject), contrasts=True)


def _as_notes(values: Values) -> str:
    """The length as notes to be tied; as a plain fraction where no notes show it."""
    try:
        return " + ".join(str(shape.length) for shape in split(values.total))
    except TheoryError:
        # A sum of triplet values may be no note's length; it is a length all the same.
        return str(values.total)
