"""doubling: two voices on a tone that wants to move one way only.

The leading tone, where it acts as one, and the seventh of a chord. Both are told apart from passing
notes by their length: the two must sound together for a beat. Other doublings are a matter of taste
on which the settings themselves differ, and are left alone.
"""

from collections.abc import Iterator
from itertools import combinations

from stavewright.checking.advice import advice, where_asked
from stavewright.checking.keys import key_at
from stavewright.checking.metre import beat_length
from stavewright.checking.partwriting import Moment, Parts
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity
from stavewright.theory.pitch import PitchName

_ID = "doubling"
_FEWEST = 3
"""Voices from which notes are shared out at all."""


def _advise(parts: Parts) -> Iterator[Finding | None]:
    for moment in parts.moments:
        if len(moment.sounding) < _FEWEST:
            continue
        for name, what in _tense_tones(parts, moment):
            yield from _doubled(parts, moment, name, what)


def _tense_tones(parts: Parts, moment: Moment) -> Iterator[tuple[PitchName, str]]:
    chord = parts.harmony(moment.time)
    if chord is None:
        return
    leading = chord.leading_tone(key_at(parts.score, moment.time))
    if leading is not None:
        yield leading, "the leading tone"
    if chord.seventh is not None:
        yield chord.seventh, f"the seventh above {chord.root}"


def _doubled(parts: Parts, moment: Moment, name: PitchName, what: str) -> Iterator[Finding | None]:
    notes = [note for note in moment.sounding if note.pitch.name == name]
    for upper, lower in combinations(notes, 2):
        begins = max(upper.start, lower.start) == moment.time
        if begins and _together(parts, upper, lower):
            message = _message(parts, upper, lower, what)
            yield advice(_ID, _later(upper, lower), message, _REASON)


def _together(parts: Parts, upper: Note, lower: Note) -> bool:
    start = max(upper.start, lower.start)
    return min(upper.end, lower.end) - start >= beat_length(parts.score, start)


def _later(upper: Note, lower: Note) -> Note:
    """The note that makes the doubling: the one that comes second, or else the lower."""
    return upper if upper.start > lower.start else lower


def _message(parts: Parts, upper: Note, lower: Note, what: str) -> str:
    where = parts.place(max(upper.start, lower.start))
    return (
        f"{parts.name(upper)} and {parts.name(lower)} both have {what}, {upper.pitch} and "
        f"{lower.pitch}, in {where}; {parts.style.writing} gives it to one voice"
    )


_REASON = (
    "A tone that is heard to want one way, in two voices, leads either to parallel octaves or to "
    "one of them being left hanging (common practice, no source)."
)

RULE = Rule(
    id=_ID,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing one voice alone has the leading tone, where it acts as one, and one "
        "alone the seventh of a chord. Two voices on such a tone either move on in octaves or "
        "leave one unresolved."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 B4 C5
alto: 1/2 G4 E4
tenor: 1/2 B3 G3
bass: 1/2 G2 C3
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 B4 C5
alto: 1/2 G4 G4
tenor: 1/2 D4 E4
bass: 1/2 G2 C3
""",
    check=where_asked(_ID, _advise),
)
