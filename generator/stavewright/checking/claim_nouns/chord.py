"""`chord:` and `numeral:` the notes of a chord, or the same chord by another name."""

from collections.abc import Sequence

from stavewright.checking.claim_nouns.spelled import shown, slip_in_set
from stavewright.checking.claim_truth import Truth
from stavewright.notation.claim import Names, NumeralIn, Statement, Subject
from stavewright.theory.chord import Chord
from stavewright.theory.chord_tone import ChordTone

_RARELY_PLAYED = (9, 11)
"""Tones that the stack of an eleventh or thirteenth has and a list may leave out."""


def chord_truth(subject: Subject, statement: Statement, written: str) -> Truth | None:
    """The truth about a chord symbol; None for sides that cannot be compared."""
    del written
    if not isinstance(subject, Chord):
        return None
    name = subject.text or subject.symbol
    return _one(subject, name, statement, bass=subject.bass != subject.root)


def numeral_truth(subject: Subject, statement: Statement, written: str) -> Truth | None:
    """The truth about a numeral in its key, in the reading that fits best."""
    del written
    if not isinstance(subject, NumeralIn):
        return None
    name = f"{subject.numeral} in {subject.key}"
    readings = subject.numeral.readings(subject.key)
    truths = [_one(chord, name, statement, bass=False) for chord in readings]
    found = [truth for truth in truths if truth is not None]
    return max(found, key=lambda truth: (truth.equal, truth.alike), default=None)


def _one(chord: Chord, name: str, statement: Statement, *, bass: bool) -> Truth | None:
    """The truth about one chord; `bass` says that the label insists on the bass it names."""
    match statement:
        case Names():
            return _notes(chord, name, statement, bass=bass)
        case Chord():
            return _chords(chord, name, (statement,), bass=bass)
        case NumeralIn():
            others = statement.numeral.readings(statement.key)
            return _chords(chord, name, others, bass=bass)
    return None


def _notes(chord: Chord, name: str, said: Names, *, bass: bool) -> Truth:
    names = chord.names_from_bass
    heard = set(said.names)
    spare = {tone.name for tone in chord.tones if _may_be_left_out(tone)}
    complete = heard <= set(names) and set(names) - heard <= spare
    complete = complete and len(heard) == len(said.names)
    in_order = not bass or said.names[0] == chord.bass
    alike = {name.cents for name in said.names} == {name.cents for name in names}
    fact = f"{name} is {shown(names)}"
    if complete and not in_order:
        fact = f"{name} has {chord.bass} in the bass, which is listed first: {shown(names)}"
    if complete:
        return Truth(in_order, alike, fact, shown(names), likeness=None)
    return Truth(False, alike, fact, shown(names), slip=slip_in_set(said, names))


def _may_be_left_out(tone: ChordTone) -> bool:
    return tone.number in _RARELY_PLAYED and not tone.is_required


def _chords(chord: Chord, name: str, others: Sequence[Chord], *, bass: bool) -> Truth:
    names = chord.names_from_bass
    equal = any(_same(chord, other, bass=bass) for other in others)
    sounds = {each.cents for each in names}
    alike = any(sounds == {each.cents for each in other.names_from_bass} for other in others)
    fact = f"{name} is {shown(names)}"
    likeness = "has the same notes" if _same_notes(chord, others) else "sounds the same"
    return Truth(
        equal, equal or alike, fact, shown(names), likeness=likeness, are_names=len(others) == 1
    )


def _same_notes(chord: Chord, others: Sequence[Chord]) -> bool:
    """Whether another label has the very notes of a chord, in whatever order."""
    return any(set(chord.names_from_bass) == set(other.names_from_bass) for other in others)


def _same(chord: Chord, other: Chord, *, bass: bool) -> bool:
    """Whether two labels name one chord; a plain symbol beside a numeral leaves the bass open."""
    if chord == other:
        return True
    is_open = not bass and other.bass == other.root
    return is_open and chord.root == other.root and set(chord.names) == set(other.names)
