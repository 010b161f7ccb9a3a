"""`scale:` the notes of a scale, in order, or the same scale by another name."""

from stavewright.checking.claim_nouns.spelled import same_sounds, shown, slip_in_order
from stavewright.checking.claim_truth import Truth
from stavewright.notation.claim import Names, Statement, Subject
from stavewright.theory.pitch import PitchName
from stavewright.theory.scale import Scale


def scale_truth(subject: Subject, statement: Statement, written: str) -> Truth | None:
    """The truth about a scale; None for sides that cannot be compared."""
    del written
    if not isinstance(subject, Scale):
        return None
    rising = subject.names
    fact = f"{subject} is {shown(rising)}"
    if isinstance(statement, Scale):
        other = statement.names
        same = other == rising and statement.falling_names == subject.falling_names
        return Truth(same, same_sounds(rising, other), fact, shown(rising))
    if not isinstance(statement, Names):
        return None
    said = statement.names
    forms = _forms(subject)
    nearest = next((form for form in forms if len(form) == len(said)), rising)
    return Truth(
        said in forms,
        any(same_sounds(said, form) for form in forms),
        fact,
        shown(nearest),
        slip=slip_in_order(statement, nearest),
    )


def _forms(scale: Scale) -> tuple[tuple[PitchName, ...], ...]:
    """The rows that list a scale: up or down, with the tonic once or at both ends."""
    up, down = scale.names, scale.falling_names
    top = scale.pitches[-1].name
    return (up, (*up, top), down, (top, *down), (*down, down[0]))
