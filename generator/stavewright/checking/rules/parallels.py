"""parallel-fifths, parallel-octaves: two voices that move from one such interval to another.

Both intervals are perfect and both voices move to other notes; a repeated fifth, or one in which
both voices leap by octaves, is one sound and no motion. By contrary motion (a fifth, then a
twelfth) the two are consecutive rather than parallel, and are called so.
"""

from collections.abc import Callable, Iterator

from stavewright.checking.advice import advice, interval_words, is_fifth, is_octave, where_asked
from stavewright.checking.partwriting import Motion, Parts
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity

_FIFTHS, _OCTAVES = "parallel-fifths", "parallel-octaves"


def _fifths(parts: Parts) -> Iterator[Finding | None]:
    return _kept(parts, _FIFTHS, is_fifth)


def _octaves(parts: Parts) -> Iterator[Finding | None]:
    return _kept(parts, _OCTAVES, is_octave)


def _kept(parts: Parts, rule: str, same: Callable[[Note, Note], bool]) -> Iterator[Finding | None]:
    for motion in parts.motions:
        kept = same(*motion.before) and same(*motion.after)
        if kept and motion.both_move and not _repeats_names(motion):
            yield advice(rule, motion.after[0], _message(rule, motion, parts), _REASONS[rule])


def _repeats_names(motion: Motion) -> bool:
    """Whether both voices only change the octave."""
    pairs = zip(motion.before, motion.after, strict=True)
    return all(one.pitch.name == other.pitch.name for one, other in pairs)


def _message(rule: str, motion: Motion, parts: Parts) -> str:
    upper, lower = motion.after
    kind = "fifths" if rule == _FIFTHS else "octaves"
    if all(one.pitch == other.pitch for one, other in (motion.before, motion.after)):
        kind = "unisons"
    how = (
        f"move in parallel {kind}"
        if motion.is_similar
        else f"move in consecutive {kind}, by contrary motion,"
    )
    first, then = (interval_words(parts, *pair) for pair in (motion.before, motion.after))
    return (
        f"{parts.name(upper)} and {parts.name(lower)} {how} into {parts.place(upper.start)}: "
        f"{first}, then {then}; {parts.style.writing} prefers another motion here"
    )


_REASONS = {
    _FIFTHS: (
        "Voices that keep a perfect fifth while both move are heard to lean on each other, where "
        "the style wants them independent (common practice, no source)."
    ),
    _OCTAVES: (
        "Voices that keep an octave while both move are heard as one voice, doubled, and the "
        "harmony loses a part (common practice, no source)."
    ),
}

FIFTHS = Rule(
    id=_FIFTHS,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing and strict counterpoint two voices avoid moving from one perfect fifth "
        "to another. A diminished fifth on either side, or a voice that stays, is no such case."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 G4 A4
alto: 1/2 E4 F4
tenor: 1/2 C4 C4
bass: 1/2 C3 D3
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 G4 A4
alto: 1/2 E4 F4
tenor: 1/2 C4 C4
bass: 1/2 C3 F3
""",
    check=where_asked(_FIFTHS, _fifths),
)

OCTAVES = Rule(
    id=_OCTAVES,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing and strict counterpoint two voices avoid moving from one octave or "
        "unison to another. A repeated octave, or one that both voices leave by octave leap, is "
        "still one sound."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 D5
alto: 1/2 G4 G4
tenor: 1/2 E4 B3
bass: 1/2 C3 D3
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
    check=where_asked(_OCTAVES, _octaves),
)
