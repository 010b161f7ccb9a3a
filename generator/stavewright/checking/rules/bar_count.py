"""bar-count: voices that sound together have the same number of bars."""

from collections.abc import Iterator

from stavewright.checking.rule import Rule
from stavewright.checking.words import counted
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score


def _check(score: Score) -> Iterator[Finding]:
    most = max((len(voice.bars) for voice in score.voices), default=0)
    longest = next((voice.name for voice in score.voices if len(voice.bars) == most), "")
    for voice in score.voices:
        if len(voice.bars) == most or voice.span is None:
            continue
        message = (
            f"{voice.name} has {counted(len(voice.bars), 'bar')}, "
            f"and {longest} has {counted(most, 'bar')}"
        )
        reason = (
            "All voices run from the first bar to the last; where one is silent it says `rest`."
        )
        yield Finding("bar-count", Severity.ERROR, voice.span, message, None, reason)


RULE = Rule(
    id="bar-count",
    severity=Severity.ERROR,
    explanation=(
        "All voices of a block have the same number of bars; one that is silent says `rest`. A "
        "missing bar in one hand is nearly always a missing bar sign, and shifts all that follows."
    ),
    wrong="""\
time: 3/4
staves: treble(right) bass(left)
right: 3/4 C5 | D5 | E5
left: 3/4 C3 | G3
""",
    right="""\
time: 3/4
staves: treble(right) bass(left)
right: 3/4 C5 | D5 | E5
left: 3/4 C3 | G3 | C3
""",
    check=_check,
)
