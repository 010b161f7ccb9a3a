"""seventh-resolution: the seventh of a chord falls by step.

It may wait, as a note held into the next chord or as another tone of its own; it may rise where the
bass takes the note it would have fallen to, as in V43 to I6; and it may be altered on its letter.
A short note off the beat that only passes upwards makes no seventh chord.
"""

from collections.abc import Iterator

from stavewright.checking.advice import advice, step_between, where_asked
from stavewright.checking.metre import BEAT, beat_length, weight_at
from stavewright.checking.partwriting import Departure, Parts
from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity
from stavewright.theory.pitch import Pitch

_ID = "seventh-resolution"


def _advise(parts: Parts) -> Iterator[Finding | None]:
    for left in parts.departures:
        goal = _goal(left) if _is_seventh_left(parts, left) else None
        if goal is not None and not _resolves(parts, left, goal):
            yield _finding(parts, left, goal)


def _is_seventh_left(parts: Parts, left: Departure) -> bool:
    """Whether a seventh of the harmony leaves as the harmony changes."""
    earlier, later = left.moments
    chord, following = parts.harmony(earlier.time), parts.harmony(later.time)
    if chord is None or chord.seventh != left.note.pitch.name:
        return False
    if following is not None and following.root == chord.root:
        return False
    stays = later.names <= chord.names
    return not stays and not _passes(parts, left)


def _passes(parts: Parts, left: Departure) -> bool:
    """Whether the note is short, off the beat, and on its way up by steps."""
    note, before = left.note, parts.before(left.note)
    if before is None or note.duration >= beat_length(parts.score, note.start):
        return False
    rising = step_between(before, note) == 1 and step_between(note, left.next) == 1
    return rising and weight_at(parts.score, note.start) < BEAT


def _goal(left: Departure) -> Pitch | None:
    """The note a step below that the next chord offers; None where it offers none."""
    there = left.moments[1].names
    letter = (left.note.pitch.letter.place - 1) % 7
    name = next((name for name in there if name.letter.place == letter), None)
    if name is None:
        return None
    octave = left.note.pitch.octave - (letter == 6)
    return name.at(octave)


def _resolves(parts: Parts, left: Departure, goal: Pitch) -> bool:
    step = step_between(left.note, left.next)
    if step == 0 or left.next.pitch == goal or (step == -1):
        return True
    if step == 1 and left.moments[1].bass.pitch.name == goal.name:
        return True
    # Another note comes before the one that was wanted: delayed, not denied.
    after = parts.after(left.next)
    return after is not None and after.pitch == goal


def _finding(parts: Parts, left: Departure, goal: Pitch) -> Finding | None:
    note = left.note
    way = "rises" if step_between(note, left.next) > 0 else "falls"
    chord = parts.harmony(left.moments[0].time)
    of = f", the seventh above {chord.root}," if chord else ""
    message = (
        f"{note.pitch} in {parts.name(note)}{of} {way} to {left.next.pitch} in "
        f"{parts.place(left.next.start)}; {parts.style.writing} lets it fall by step to {goal}"
    )
    return advice(_ID, left.next, message, _REASON, str(goal))


_REASON = (
    "The seventh is the dissonance of its chord, and a dissonance is heard as settled when it "
    "sinks by step (common practice, no source)."
)

RULE = Rule(
    id=_ID,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing the seventh of a chord falls by step when the chord changes, or waits "
        "and falls later. It may rise where the bass takes the note it would have fallen to, as in "
        "V43 to I6."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 B4 C5
alto: 1/2 F4 G4
tenor: 1/2 D4 E4
bass: 1/2 G3 C3
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 B4 C5
alto: 1/2 F4 E4
tenor: 1/2 D4 C4
bass: 1/2 G3 C3
""",
    check=where_asked(_ID, _advise),
)
