"""Rules whose findings are made while a block is read: what cannot be read at all.

The parser makes these findings at the very signs that it stumbles over; here they are explained.
"""

from stavewright.checking.rule import Rule
from stavewright.notation.finding import Severity

SYNTAX = Rule(
    id="syntax",
    severity=Severity.ERROR,
    explanation=(
        "A block is made of lines `word: value`, and every event in it must be readable. What "
        "cannot be read is pointed at, with the nearest word that could be meant; the rest of the "
        "block is read all the same."
    ),
    wrong="""\
notes: 1/4 C5 c5 E5
""",
    right="""\
notes: 1/4 C5 C5 E5
""",
)

KEY_UNKNOWN = Rule(
    id="key-unknown",
    severity=Severity.ERROR,
    explanation=(
        "A key is a tonic and a mode, such as `D minor` or `Bb dorian`. A key that is not known "
        "names no notes, so nothing in the block could be checked against it."
    ),
    wrong="""\
key: D mimor
notes: 1/4 D5
""",
    right="""\
key: D minor
notes: 1/4 D5
""",
)

CHORD_SYMBOL = Rule(
    id="chord-symbol",
    severity=Severity.ERROR,
    explanation=(
        "A chord symbol must say one chord: a root, what stands on it, and a bass after a slash. A "
        "symbol that the trade does not know, or that contradicts itself, plays differently under "
        "every pair of hands."
    ),
    wrong="""\
chords: C Fmaj77 G7
""",
    right="""\
chords: C Fmaj7 G7
""",
)
