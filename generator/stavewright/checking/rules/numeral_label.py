"""numeral-label: the Roman numeral against what sounds under it."""

from collections.abc import Iterator
from dataclasses import replace

from stavewright.checking.label_findings import label_findings
from stavewright.checking.pivots import two_chords
from stavewright.checking.roles import wrong_degrees, wrong_tones
from stavewright.checking.rule import Rule
from stavewright.checking.suggesting import fitting_numeral
from stavewright.checking.verdicts import numeral_verdicts
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score

_ROLES = "The names of the degrees count from the tonic of the key that holds here."
_PIVOT = "The ear hears a pivot once and understands it twice; both numerals name the same notes."


def _check(score: Score) -> Iterator[Finding]:
    keys = {verdict.reading.span: verdict.reading.key for verdict in numeral_verdicts(score)}
    for found in label_findings("numeral-label", score, numeral_verdicts(score), fitting_numeral):
        yield replace(found, message=f"In {keys[found.span]}, {found.message}")
    yield from _roles(score)
    for pivot in two_chords(score):
        yield Finding(
            "numeral-label", Severity.ERROR, pivot.span, pivot.message, pivot.right, _PIVOT
        )


def _roles(score: Score) -> Iterator[Finding]:
    """Labels on single notes that say what the note is."""
    under_numerals = wrong_tones(score, numeral_verdicts(score)) if not score.chords else ()
    for wrong in (*wrong_degrees(score), *under_numerals):
        yield Finding(
            "numeral-label", wrong.severity, wrong.span, wrong.message, wrong.right, _ROLES
        )


RULE = Rule(
    id="numeral-label",
    severity=Severity.ERROR,
    explanation=(
        "A Roman numeral is turned into the chord it names in its key, and that chord is compared "
        "with the notes that sound, the bass included: a figure says which tone lies lowest. A "
        "numeral that disagrees teaches the wrong function."
    ),
    wrong="""\
key: C major
time: 4/4
staves: treble(right) bass(left)
numerals: 1/2 I IV6 | I
right: 1/2 E4&G4&C5 F4&A4&C5 | 1/1 E4&G4&C5
left: 1/2 C3 F2 | 1/1 C3
""",
    right="""\
key: C major
time: 4/4
staves: treble(right) bass(left)
numerals: 1/2 I IV6 | I
right: 1/2 E4&G4&C5 F4&A4&C5 | 1/1 E4&G4&C5
left: 1/2 C3 A2 | 1/1 C3
""",
    check=_check,
)
