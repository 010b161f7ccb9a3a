"""six-four: a major or minor triad over its fifth, on a bass that neither stays nor steps.

Four kinds are at home in the style and pass: the cadential one, whose bass stays and becomes the
root of the dominant; the passing and the neighbouring one, whose bass moves by step or stays; and
the broken one, where the bass only moves about inside one chord.
"""

from collections.abc import Iterator

from stavewright.checking.advice import advice, step_between, where_asked
from stavewright.checking.harmony import Harmony, heard_harmony
from stavewright.checking.metre import weight_at
from stavewright.checking.partwriting import Moment, Parts
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity
from stavewright.theory.interval import Interval

_ID = "six-four"


def _advise(parts: Parts) -> Iterator[Finding | None]:
    for moment in parts.moments:
        chord = _heard(moment)
        if chord is None or not chord.is_consonant or chord.fifth != moment.bass.pitch.name:
            continue
        why = _trouble(parts, moment.bass, chord) if moment.strikes(moment.bass) else None
        if why is not None:
            yield advice(_ID, moment.bass, _message(parts, moment, chord, why), _REASON)


def _heard(moment: Moment) -> Harmony | None:
    return heard_harmony(moment.names)


def _trouble(parts: Parts, bass: Note, chord: Harmony) -> str | None:
    """What the bass does that none of the four kinds does; None where it does as they do."""
    before, after = parts.before(bass), parts.after(bass)
    if _stays_in(parts, before, chord) or _stays_in(parts, after, chord):
        return None
    if after is not None and not _is_near(bass, after):
        return f"leaves it by leap, to {after.pitch}"
    if before is None or after is None or _is_near(before, bass):
        return None
    stays = after.pitch.name == bass.pitch.name
    heavy = weight_at(parts.score, bass.start) > weight_at(parts.score, after.start)
    return None if stays or heavy else f"comes to it by leap, from {before.pitch}"


def _stays_in(parts: Parts, note: Note | None, chord: Harmony) -> bool:
    """Whether a neighbouring bass note belongs to the same chord."""
    if note is None:
        return False
    return parts.at(note.start).names <= chord.names and note.pitch.name in (
        chord.root,
        chord.third,
    )


def _is_near(one: Note, other: Note) -> bool:
    return abs(step_between(one, other)) <= 1 or one.pitch.name == other.pitch.name


def _message(parts: Parts, moment: Moment, chord: Harmony, why: str) -> str:
    bass = moment.bass
    kind = "major" if (chord.root + _MAJOR_THIRD) == chord.third else "minor"
    return (
        f"The six-four chord in {parts.place(moment.time)} ({chord.root} {kind} over "
        f"{bass.pitch}) stands on a bass that {why}; {parts.style.writing} lets the bass of a "
        "six-four stay, step, or move inside the chord"
    )


_MAJOR_THIRD = Interval.of_degree(3)
_REASON = (
    "The fourth above the bass is heard as a dissonance, so a six-four chord sounds settled only "
    "as a delay, in passing, over a pedal or inside its chord (common practice, no source)."
)

RULE = Rule(
    id=_ID,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing a six-four chord is cadential, passing, neighboring or broken: its "
        "bass stays, moves by step, or moves inside the chord. Left or reached otherwise, its "
        "fourth is a dissonance that nobody settles."
    ),
    wrong="""\
style: chorale
key: C major
time: 3/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 C5 B4
alto: 1/2 A4 G4 G4
tenor: 1/2 F4 E4 F4
bass: 1/2 F3 G3 D3
""",
    right="""\
style: chorale
key: C major
time: 3/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 C5 B4
alto: 1/2 A4 G4 G4
tenor: 1/2 F4 E4 D4
bass: 1/2 F3 G3 G3
""",
    check=where_asked(_ID, _advise),
)
