"""chord-label: the chord symbol against what sounds under it."""

from collections.abc import Iterator

from stavewright.checking.label_findings import label_findings
from stavewright.checking.roles import wrong_tones
from stavewright.checking.rule import Rule
from stavewright.checking.suggesting import fitting_symbol
from stavewright.checking.verdicts import chord_verdicts
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score

_ROLES = "A tone of a chord is called after its distance from the root, wherever it lies."


def _check(score: Score) -> Iterator[Finding]:
    yield from label_findings("chord-label", score, chord_verdicts(score), fitting_symbol)
    yield from _roles(score)


def _roles(score: Score) -> Iterator[Finding]:
    """Labels on single notes that say what the note is."""
    for wrong in wrong_tones(score, chord_verdicts(score)):
        yield Finding("chord-label", wrong.severity, wrong.span, wrong.message, wrong.right, _ROLES)


RULE = Rule(
    id="chord-label",
    severity=Severity.ERROR,
    explanation=(
        "A chord symbol is compared with the notes that sound while it holds, as the ear takes "
        "them: passing notes, suspensions, pedal points and omitted fifths are fine, a wrong third "
        "or a wrong bass is not. A symbol that disagrees with the notes beside it is the first "
        "thing a reader who plays along will notice."
    ),
    wrong="""\
key: C minor
time: 4/4
chords: Cm | G7
notes: 1/1 C4&E4&G4 | B3&D4&F4&G4
""",
    right="""\
key: C minor
time: 4/4
chords: Cm | G7
notes: 1/1 C4&Eb4&G4 | B3&D4&F4&G4
""",
    check=_check,
)
