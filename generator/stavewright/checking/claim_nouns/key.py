"""`key:` a signature, a relation, the notes of a key, or the same key by another name."""

from stavewright.checking.claim_nouns.spelled import same_sounds, shown, slip_in_order
from stavewright.checking.claim_truth import Truth
from stavewright.notation.claim import Accidentals, Names, RelatedKey, Statement, Subject
from stavewright.theory.key import Key, Relation
from stavewright.theory.key_relations import signature_words

_BACK = {
    Relation.RELATIVE: Relation.RELATIVE,
    Relation.PARALLEL: Relation.PARALLEL,
    Relation.DOMINANT: Relation.SUBDOMINANT,
    Relation.SUBDOMINANT: Relation.DOMINANT,
}
"""The relation that leads from a key back to the one it is related to."""


def key_truth(subject: Subject, statement: Statement, written: str) -> Truth | None:
    """The truth about a key; None for sides that cannot be compared."""
    del written
    if not isinstance(subject, Key):
        return None
    match statement:
        case Accidentals():
            return _signature(subject, statement)
        case RelatedKey():
            return _related(subject, statement)
        case Names():
            return _notes(subject, statement)
        case Key():
            same = subject == statement
            alike = subject.mode is statement.mode
            alike = alike and subject.tonic.sounds_like(statement.tonic)
            fact = f"{subject} has {signature_words(subject)}"
            return Truth(same, alike, fact, str(subject), are_names=True)
    return None


def _signature(key: Key, said: Accidentals) -> Truth:
    equal = key.signature == said.signature
    words = signature_words(key)
    names = shown(key.signature_names)
    fact = f"{key} has {words}" + (f" ({names})" if names else "")
    reason = None
    if any(abs(name.accidentals) > 1 for name in key.signature_names):
        reason = "A double accidental in the signature counts as two."
    return Truth(equal, equal, fact, words, reason=reason)


def _related(key: Key, said: RelatedKey) -> Truth:
    actual = said.key.related(said.relation)
    other = key.related(_BACK[said.relation])
    fact = f"the {said.relation} of {said.key} is {actual}"
    right = f"{said.relation} of {other}"
    holds = other.related(said.relation) == key
    alike = actual.mode is key.mode and actual.tonic.sounds_like(key.tonic)
    return Truth(actual == key, alike, fact, right if holds else None)


def _notes(key: Key, said: Names) -> Truth:
    scale = key.names
    forms = (scale, (*scale, scale[0]), key.signature_names)
    nearest = next((form for form in forms if len(form) == len(said.names)), scale)
    return Truth(
        said.names in forms,
        any(same_sounds(said.names, form) for form in forms[:2]),
        f"{key} has {shown(scale)}",
        shown(nearest),
        slip=slip_in_order(said, nearest),
    )
