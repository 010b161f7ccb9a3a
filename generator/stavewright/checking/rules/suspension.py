"""suspension: a dissonance on the beat that is neither prepared nor resolved as one.

The note is foreign to a chord that the other voices make plain. Held or repeated from before it is
a suspension, and falls by step, or rises by step where it is held up to; a turn before that is no
harm. Struck by leap, and falling by step, it lacks its preparation. A foreign note that comes by
step passes or leans, and is left alone.
"""

from collections.abc import Iterator

from stavewright.checking.advice import advice, interval_words, step_between, where_asked
from stavewright.checking.harmony import heard_harmony
from stavewright.checking.metre import BEAT, weight_at
from stavewright.checking.partwriting import Moment, Parts
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity

_ID = "suspension"
_FEWEST = 4
"""Voices from which three make a chord plain while one is foreign to it."""
_MOST_BETWEEN = 2
"""Notes that may adorn a suspension before it falls."""


def _advise(parts: Parts) -> Iterator[Finding | None]:
    for moment in parts.moments:
        on_beat = weight_at(parts.score, moment.time) >= BEAT
        note = _foreign(parts, moment) if on_beat else None
        message = None if note is None else _message(parts, moment, note)
        if note is not None and message is not None:
            yield advice(_ID, parts.as_written_at(note, moment.time), message, _REASON)


def _foreign(parts: Parts, moment: Moment) -> Note | None:
    """The one note above the bass in whose place a note of a plain chord belongs."""
    there = moment.sounding
    if len(there) < _FEWEST or heard_harmony(moment.names) is not None:
        return None
    found = [note for note in there if _is_foreign(parts, moment, note)]
    # Where the bass may as well be the foreign one, nothing is plain.
    return found[0] if len(found) == 1 and found[0] != moment.bass else None


def _is_foreign(parts: Parts, moment: Moment, note: Note) -> bool:
    """Whether the others make a plain chord, alone or with the note that this one goes to."""
    others = frozenset(other.pitch.name for other in moment.sounding if other.index != note.index)
    after = parts.after(note)
    if note.pitch.name in others or after is None or _is_labelled(parts, moment, note):
        return False
    complete = others | {after.pitch.name}
    return heard_harmony(others) is not None or heard_harmony(complete) is not None


def _is_labelled(parts: Parts, moment: Moment, note: Note) -> bool:
    """Whether a numeral or symbol counts the note into its chord."""
    chord = parts.harmony(moment.time)
    return chord is not None and note.pitch.name in chord.names


def _message(parts: Parts, moment: Moment, note: Note) -> str | None:
    before, after = parts.before(note), parts.after(note)
    held = note.start < moment.time or (before is not None and before.pitch == note.pitch)
    if after is None or (held and _settles(parts, note, after)):
        return None
    where, clash = parts.place(moment.time), interval_words(parts, note, moment.bass)
    if held:
        return (
            f"{note.pitch} in {parts.name(note)}, held into {where} as {clash}, leaps on to "
            f"{after.pitch}; {parts.style.writing} lets a suspension fall by step"
        )
    if before is None or abs(step_between(before, note)) <= 1 or step_between(note, after) != -1:
        return None
    return (
        f"{note.pitch} in {parts.name(note)} falls to {after.pitch} like a suspension, but comes "
        f"to {where} by leap, from {before.pitch}, as {clash}; {parts.style.writing} prepares it "
        "as a note of the chord before"
    )


def _settles(parts: Parts, note: Note, after: Note) -> bool:
    """Whether the line goes on by step, or down by step after one or two other notes."""
    if abs(step_between(note, after)) <= 1:
        return True
    line = parts.after(after)
    for _ in range(_MOST_BETWEEN):
        if line is not None and step_between(note, line) in (-1, 0):
            return True
        line = None if line is None else parts.after(line)
    return False


_REASON = (
    "A dissonance on the beat is heard as a note of the chord before that comes late: it needs "
    "that chord behind it and a step down in front (common practice, no source)."
)

RULE = Rule(
    id=_ID,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing a dissonance on the beat is a suspension: it is held over, or "
        "repeated, from the chord before and falls by step. One that is reached by leap, or that "
        "leaps away, is not heard as a late note."
    ),
    wrong="""\
style: chorale
key: C major
time: 4/4
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 A4 1/4 C5 B4
alto: 1/2 F4 G4
tenor: 1/2 D4 D4
bass: 1/2 D3 G3
""",
    right="""\
style: chorale
key: C major
time: 4/4
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 1/4 C5 B4
alto: 1/2 F4 G4
tenor: 1/2 D4 D4
bass: 1/2 D3 G3
""",
    check=where_asked(_ID, _advise),
)
