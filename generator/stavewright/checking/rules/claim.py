"""claim: statements about music in a line of prose."""

from stavewright.checking.rule import Rule
from stavewright.notation.finding import Severity

RULE = Rule(
    id="claim",
    severity=Severity.ERROR,
    explanation=(
        "A code span such as `chord: F7 = F A C Eb` states something, and the theory core works "
        "out whether it is true. A wrong statement in the text is what viewers find first, and "
        "what an author can least afford."
    ),
    wrong="""\
The dominant of B flat is `chord: F7 = F A C D#`.
""",
    right="""\
The dominant of B flat is `chord: F7 = F A C Eb`.
""",
)
