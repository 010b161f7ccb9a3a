"""leading-tone-resolution: a leading tone that acts as one goes where its pull leads.

It acts so in the dominant, in any dominant seventh and in diminished chords that lead to a tonic,
and the pull is answered when a chord with that tonic follows. Until then the line may wait or move
about in the chord. An inner voice may fall to the fifth for a fuller chord; any voice may pass
through it on a scale downwards, or sink on the same letter as it does on the way to another key.
"""

from collections.abc import Iterator

from stavewright.checking.advice import advice, step_between, where_asked
from stavewright.checking.harmony import resolves_up_to
from stavewright.checking.keys import key_at
from stavewright.checking.partwriting import Departure, Parts
from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity
from stavewright.theory.interval import Interval
from stavewright.theory.pitch import PitchName

_ID = "leading-tone-resolution"
_HALF_STEP = Interval.of_degree(2, -100)
_INNER_FALLS = (-1, -2)
"""Letters: to the fifth of the tonic chord, or by step to another tone of what follows."""


def _advise(parts: Parts) -> Iterator[Finding | None]:
    for left in parts.departures:
        tonic = _tonic_wanted(parts, left)
        if tonic is not None and not _is_answered(parts, left):
            yield _finding(parts, left, tonic)


def _tonic_wanted(parts: Parts, left: Departure) -> PitchName | None:
    """The tonic that the note leads to; None where it does not lead, or none follows yet."""
    earlier, later = left.moments
    chord, following = parts.harmony(earlier.time), parts.harmony(later.time)
    if chord is None or (following is not None and following.root == chord.root):
        return None
    name = left.note.pitch.name
    if chord.leading_tone(key_at(parts.score, earlier.time)) != name:
        return None
    tonic = resolves_up_to(name)
    return tonic if tonic in later.names else None


def _is_answered(parts: Parts, left: Departure) -> bool:
    goal = left.note.pitch + _HALF_STEP
    after = parts.after(left.next)
    step = step_between(left.note, left.next)
    if left.next.pitch == goal or step == 0:
        return True
    if after is not None and after.pitch == goal:
        # Another note stands before the tonic and goes to it: delayed, not denied.
        return True
    return _passes_down(parts, left) or (step in _INNER_FALLS and not parts.is_outer(left.note))


def _passes_down(parts: Parts, left: Departure) -> bool:
    """Whether the line is a scale downwards, in which the pull of a single note is not felt."""
    before = parts.before(left.note)
    falls = before is not None and step_between(before, left.note) == -1
    return falls and step_between(left.note, left.next) == -1


def _finding(parts: Parts, left: Departure, tonic: PitchName) -> Finding | None:
    note, goal = left.note, left.note.pitch + _HALF_STEP
    way = "rises" if step_between(note, left.next) > 0 else "falls"
    outer = parts.is_outer(note)
    wish = "lets it rise" if outer else "lets it rise, or fall to the fifth of the chord,"
    message = (
        f"The leading tone {note.pitch} of {parts.name(note)} {way} to {left.next.pitch} in "
        f"{parts.place(left.next.start)}, where its tonic {tonic} has come; "
        f"{parts.style.writing} {wish}" + (f" to {goal}" if outer else "")
    )
    return advice(_ID, left.next, message.rstrip(","), _REASON, str(goal) if outer else None)


_REASON = (
    "A leading tone in an outer voice is heard to want its tonic; inside, a fall to the fifth goes "
    "by unnoticed and fills the chord (common practice, no source)."
)

RULE = Rule(
    id=_ID,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing a leading tone that acts as one, in a dominant or a diminished chord, "
        "rises to its tonic when the tonic chord comes. An inner one may fall to the fifth of that "
        "chord, and any may wait."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 B4 G4
alto: 1/2 G4 E4
tenor: 1/2 D4 C4
bass: 1/2 G2 C3
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 B4 C5
alto: 1/2 G4 G4
tenor: 1/2 D4 E4
bass: 1/2 G2 C3
""",
    check=where_asked(_ID, _advise),
)
