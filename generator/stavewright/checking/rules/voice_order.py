"""voice-crossing, voice-overlap: voices that leave their order.

They *cross* where one sounds below a voice that is written beneath it. They *overlap* where they do
not cross, but one moves past the place that its neighbour has just left. A change of position
within one chord is no overlap.
"""

from collections.abc import Iterator
from itertools import pairwise

from stavewright.checking.advice import advice, where_asked
from stavewright.checking.partwriting import Moment, Parts
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity

_CROSSING, _OVERLAP = "voice-crossing", "voice-overlap"


def _crossings(parts: Parts) -> Iterator[Finding | None]:
    crossed_before: set[tuple[int, int]] = set()
    for moment in parts.moments:
        crossed = {(parts.line(a), parts.line(b)): (a, b) for a, b in _crossed(moment)}
        for lines in sorted(set(crossed) - crossed_before):
            yield _crossing(parts, moment, *crossed[lines])
        crossed_before = set(crossed)


def _crossed(moment: Moment) -> Iterator[tuple[Note, Note]]:
    for upper, lower in pairwise(moment.sounding):
        if upper.pitch.cents < lower.pitch.cents:
            yield upper, lower


def _crossing(parts: Parts, moment: Moment, upper: Note, lower: Note) -> Finding | None:
    message = (
        f"{parts.name(upper)} goes below {parts.name(lower)} in {parts.place(moment.time)}, "
        f"{upper.pitch} under {lower.pitch}; {parts.style.writing} keeps the voices in order"
    )
    return advice(_CROSSING, upper if moment.strikes(upper) else lower, message, _CROSSED)


def _overlaps(parts: Parts) -> Iterator[Finding | None]:
    for earlier, later in parts.steps():
        if _stays_in_chord(earlier, later) or any(_crossed(earlier)) or any(_crossed(later)):
            continue
        for upper, lower in pairwise(range(len(parts.names))):
            yield from _overlap(parts, earlier, later, (upper, lower))


def _stays_in_chord(earlier: Moment, later: Moment) -> bool:
    first, then = earlier.names, later.names
    return len(first) > 2 and (first <= then or then <= first)


def _overlap(
    parts: Parts, earlier: Moment, later: Moment, lines: tuple[int, int]
) -> Iterator[Finding | None]:
    """Either voice of a pair of neighbours, past the place of the other."""
    for mover, other in (lines, lines[::-1]):
        left, moved, own = earlier.notes[other], later.notes[mover], earlier.notes[mover]
        if left is None or moved is None or own is None or not parts.joined(own, moved):
            continue
        gap = moved.pitch.cents - left.pitch.cents
        if (gap < 0) if mover < other else (gap > 0):
            place = "below" if mover < other else "above"
            message = (
                f"{parts.name(moved)} moves to {moved.pitch} in {parts.place(later.time)}, {place} "
                f"the {left.pitch} that {parts.name(left)} has just left; {parts.style.writing} "
                "avoids such an overlap where the chord changes"
            )
            yield advice(_OVERLAP, moved, message, _OVERLAPPED)


_CROSSED = (
    "Where voices cross, the ear follows the pitches and not the parts, and hears other lines than "
    "the ones that are written (common practice, no source)."
)
_OVERLAPPED = (
    "A voice that moves past its neighbor's last note is easily heard as that neighbor going on "
    "(common practice, no source)."
)

CROSSING = Rule(
    id=_CROSSING,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing each voice stays above the one that is written beneath it. Where they "
        "cross, a listener follows the pitches and hears other lines than the singers sing."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 D5
alto: 1/2 E4 D4
tenor: 1/2 G4 G4
bass: 1/2 C3 B2
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 D5
alto: 1/2 G4 G4
tenor: 1/2 E4 D4
bass: 1/2 C3 B2
""",
    check=where_asked(_CROSSING, _crossings),
)

OVERLAP = Rule(
    id=_OVERLAP,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing a voice does not move past the note that its neighbor has just left, "
        "even where the two do not cross. A change of position within one chord is not meant."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 G4
alto: 1/2 A4 F4
tenor: 1/2 C4 B3
bass: 1/2 F3 G3
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 D5
alto: 1/2 A4 F4
tenor: 1/2 C4 G3
bass: 1/2 F3 B2
""",
    check=where_asked(_OVERLAP, _overlaps),
)
