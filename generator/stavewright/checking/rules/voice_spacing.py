"""voice-spacing: upper voices more than an octave from their neighbours.

Soprano to alto and alto to tenor; the bass may stand as far below as it likes. A gap that stays is
named once, where it opens.
"""

from collections.abc import Iterator
from itertools import pairwise

from stavewright.checking.advice import advice, interval_words, where_asked
from stavewright.checking.partwriting import Moment, Parts
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity

_ID = "voice-spacing"
_OCTAVE = 1200


def _advise(parts: Parts) -> Iterator[Finding | None]:
    open_before: set[tuple[int, int]] = set()
    for moment in parts.moments:
        wide = {(parts.line(a), parts.line(b)): (a, b) for a, b in _wide_pairs(moment)}
        for lines in sorted(set(wide) - open_before):
            yield _finding(parts, moment, *wide[lines])
        open_before = set(wide)


def _wide_pairs(moment: Moment) -> Iterator[tuple[Note, Note]]:
    there = moment.sounding
    for upper, lower in pairwise(there[:-1] if len(there) > 2 else ()):
        if upper.pitch.cents - lower.pitch.cents > _OCTAVE:
            yield upper, lower


def _finding(parts: Parts, moment: Moment, upper: Note, lower: Note) -> Finding | None:
    message = (
        f"{parts.name(upper)} and {parts.name(lower)} stand {interval_words(parts, upper, lower)} "
        f"apart in {parts.place(moment.time)}; {parts.style.writing} keeps neighboring upper "
        "voices within an octave"
    )
    return advice(_ID, upper if moment.strikes(upper) else lower, message, _REASON)


_REASON = (
    "Upper voices that stand close blend into one chord; a gap among them leaves the top voice "
    "alone. Below them the bass may stand apart (common practice, no source)."
)

RULE = Rule(
    id=_ID,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing soprano and alto, and alto and tenor, stand within an octave of each "
        "other. The bass may be as far below the tenor as it likes."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 E5 D5
alto: 1/2 C4 D4
tenor: 1/2 G3 B3
bass: 1/2 C3 G2
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 E5 D5
alto: 1/2 G4 G4
tenor: 1/2 C4 B3
bass: 1/2 C3 G2
""",
    check=where_asked(_ID, _advise),
)
