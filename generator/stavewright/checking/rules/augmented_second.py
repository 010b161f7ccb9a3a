"""augmented-second: a line that steps over the gap of harmonic minor.

Only the step itself counts: a leap to another tone of the same chord is a larger interval.
"""

from collections.abc import Iterator

from stavewright.checking.advice import advice, step_between, where_asked
from stavewright.checking.partwriting import Departure, Parts
from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity

_ID = "augmented-second"
_AUGMENTED = 300
"""Cents, over one letter."""


def _advise(parts: Parts) -> Iterator[Finding | None]:
    for left in parts.departures:
        cents = abs(left.next.pitch.cents - left.note.pitch.cents)
        if abs(step_between(left.note, left.next)) == 1 and cents == _AUGMENTED:
            yield advice(_ID, left.next, _message(parts, left), _REASON)


def _message(parts: Parts, left: Departure) -> str:
    way = "up" if step_between(left.note, left.next) > 0 else "down"
    return (
        f"{parts.name(left.note)} steps {way} an augmented second, {left.note.pitch} to "
        f"{left.next.pitch}, into {parts.place(left.next.start)}; {parts.style.writing} goes round "
        "it by another chord tone, or takes the sixth and seventh of melodic minor"
    )


_REASON = (
    "The augmented second is as wide as a minor third but asks to be sung as a step, and it gives "
    "the line a color of its own that the style leaves to others (common practice, no source)."
)

RULE = Rule(
    id=_ID,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing and strict counterpoint a line avoids the step of an augmented second, "
        "such as F to G sharp in A minor. It moves the other way, or raises the sixth together "
        "with the seventh."
    ),
    wrong="""\
style: chorale
key: A minor
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 D5 B4
alto: 1/2 F4 G#4
tenor: 1/2 A3 E4
bass: 1/2 D3 E3
""",
    right="""\
style: chorale
key: A minor
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 D5 B4
alto: 1/2 F4 E4
tenor: 1/2 A3 G#3
bass: 1/2 D3 E3
""",
    check=where_asked(_ID, _advise),
)
