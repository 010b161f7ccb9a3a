"""numeral-symbol: numerals that mean nothing in their key, or could be plainer.

What cannot be read at all the parser reports under the same id.
"""

from collections.abc import Iterator

from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score

_REASON = "Numerals count the degrees of their key; one sign more than needed hints at another."


def _check(score: Score) -> Iterator[Finding]:
    for event in score.numerals:
        if event.numeral is None or event.key is None or event.span is None:
            continue
        for advice in event.numeral.advice(event.key)[:1]:
            better = advice.suggestion if event.numeral.applied_to is None else None
            yield Finding(
                "numeral-symbol", Severity.ADVICE, event.span, advice.message, better, _REASON
            )


RULE = Rule(
    id="numeral-symbol",
    severity=Severity.ERROR,
    explanation=(
        "A Roman numeral must name one chord: its case and sign fix the triad, its figures the "
        "seventh and the bass, and they may not contradict one another. A label that two schools "
        "read differently is worse than none."
    ),
    wrong="""\
key: C major
time: 4/4
numerals: I | VIIo | I
""",
    right="""\
key: C major
time: 4/4
numerals: I | viio | I
""",
    check=_check,
)
