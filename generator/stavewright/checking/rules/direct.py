"""direct-fifths, direct-octaves: the outer voices leap together into a perfect interval.

Also called hidden. Only the outer voices are held to it, only where both move the same way, and
only where the top voice leaps: its step makes horn fifths and most cadences sound as they should.
Within one chord the voices merely change places.
"""

from collections.abc import Callable, Iterator

from stavewright.checking.advice import (
    advice,
    interval_words,
    is_fifth,
    is_octave,
    step_between,
    where_asked,
)
from stavewright.checking.partwriting import Motion, Parts
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity

_FIFTHS, _OCTAVES = "direct-fifths", "direct-octaves"


def _fifths(parts: Parts) -> Iterator[Finding | None]:
    return _reached(parts, _FIFTHS, is_fifth)


def _octaves(parts: Parts) -> Iterator[Finding | None]:
    return _reached(parts, _OCTAVES, is_octave)


def _reached(
    parts: Parts, rule: str, arrives: Callable[[Note, Note], bool]
) -> Iterator[Finding | None]:
    for motion in parts.motions:
        if not arrives(*motion.after) or arrives(*motion.before):
            continue
        leaps = motion.is_similar and motion.is_between_outer and _leaps(motion)
        if leaps and not _keeps_chord(motion):
            yield advice(rule, motion.after[0], _message(rule, motion, parts), _REASON)


def _leaps(motion: Motion) -> bool:
    return abs(step_between(motion.before[0], motion.after[0])) > 1


def _keeps_chord(motion: Motion) -> bool:
    """Whether only the position of one chord changes."""
    first, then = (moment.names for moment in motion.moments)
    return len(first | then) <= max(len(first), len(then)) and len(first | then) > 2


def _message(rule: str, motion: Motion, parts: Parts) -> str:
    upper, lower = motion.after
    unison = upper.pitch == lower.pitch
    kind = "fifth" if rule == _FIFTHS else "unison" if unison else "octave"
    way = "up" if step_between(motion.before[0], upper) > 0 else "down"
    first, then = (interval_words(parts, *pair) for pair in (motion.before, motion.after))
    return (
        f"{parts.name(upper)} and {parts.name(lower)} both move {way} into a direct {kind} in "
        f"{parts.place(upper.start)}, the top voice by leap: {first}, then {then}; "
        f"{parts.style.writing} prefers a step in the top voice or contrary motion"
    )


_REASON = (
    "When the outer voices leap the same way into a perfect interval, the ear fills the gap and "
    "hears a parallel (common practice, no source)."
)

FIFTHS = Rule(
    id=_FIFTHS,
    severity=Severity.ADVICE,
    explanation=(
        "The outer voices of a chorale, or the lines of a counterpoint, avoid moving the same way "
        "into a perfect fifth when the top voice leaps. A step in the top voice, and any motion of "
        "inner voices, is left alone."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 D4 G4
alto: 1/2 G3 G3
tenor: 1/2 D3 E3
bass: 1/2 B2 C3
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 D4 C4
alto: 1/2 G3 G3
tenor: 1/2 D3 E3
bass: 1/2 B2 C3
""",
    check=where_asked(_FIFTHS, _fifths),
)

OCTAVES = Rule(
    id=_OCTAVES,
    severity=Severity.ADVICE,
    explanation=(
        "The outer voices of a chorale, or the lines of a counterpoint, avoid moving the same way "
        "into an octave or unison when the top voice leaps. A step in the top voice, and any "
        "motion of inner voices, is left alone."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 F5
alto: 1/2 G4 A4
tenor: 1/2 C4 C4
bass: 1/2 E3 F3
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 C5
alto: 1/2 G4 A4
tenor: 1/2 C4 F4
bass: 1/2 E3 F3
""",
    check=where_asked(_OCTAVES, _octaves),
)
