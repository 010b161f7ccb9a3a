"""chord-voicing: added tones that lie elsewhere than their number says."""

from collections.abc import Iterator

from stavewright.checking.rule import Rule
from stavewright.checking.verdicts import chord_verdicts
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score

_REASON = (
    "Over a triad the number of an added tone says where it lies: a second beside the root, a "
    "ninth above the octave (common practice, no source)."
)


def _check(score: Score) -> Iterator[Finding]:
    for verdict in chord_verdicts(score):
        reading, hearing = verdict.reading, verdict.hearing
        if hearing.is_melody:
            continue
        for rule in reading.chord.broken_voicing_rules(note.pitch for note in hearing.notes):
            message = f"In {reading.text} {rule.words}; as voiced here it is {rule.otherwise}"
            yield Finding(
                "chord-voicing", Severity.WARNING, reading.span, message, rule.otherwise, _REASON
            )


RULE = Rule(
    id="chord-voicing",
    severity=Severity.WARNING,
    explanation=(
        "Cadd9 has its D above the octave, Cadd2 between root and third; the notes are the same "
        "and the sound is not. The number in the symbol should be the one that is played."
    ),
    wrong="""\
chords: Cadd9
notes: 1/1 C4&D4&E4&G4
""",
    right="""\
chords: Cadd9
notes: 1/1 C4&E4&G4&D5
""",
    check=_check,
)
