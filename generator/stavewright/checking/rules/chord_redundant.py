"""chord-redundant: symbols that say something twice or in vain."""

from collections.abc import Iterator

from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score
from stavewright.theory.chord import Chord


def _check(score: Score) -> Iterator[Finding]:
    for event in score.chords:
        if event.chord is None or event.span is None or not event.chord.redundancies:
            continue
        first = event.chord.redundancies[0]
        better = _bare(event.chord)
        message = f"In {event.text} the {first.what} says nothing new: {first.meaning}"
        reason = "Whoever reads a sign looks for its effect; one without effect hints at a slip."
        yield Finding("chord-redundant", Severity.WARNING, event.span, message, better, reason)


def _bare(chord: Chord) -> str:
    """The symbol with all that is redundant taken away."""
    while chord.redundancies:
        chord = Chord.parse(chord.redundancies[0].suggestion)
    return chord.symbol


RULE = Rule(
    id="chord-redundant",
    severity=Severity.WARNING,
    explanation=(
        "A chord symbol need not say what it has said: the fifth of a diminished seventh is flat "
        "already. A reader who finds the sign looks for its effect, and suspects another chord."
    ),
    wrong="""\
chords: Edim7b5
""",
    right="""\
chords: Edim7
""",
    check=_check,
)
