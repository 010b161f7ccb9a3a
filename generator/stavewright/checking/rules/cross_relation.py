"""cross-relation: one voice contradicts the accidental that another has just had.

A note and its alteration follow each other in two voices. Where the voice that has the first goes
on to the second itself, or the voice that has the second comes from the first, the change is heard
as a line and nothing is said.
"""

from collections.abc import Iterator

from stavewright.checking.advice import advice, where_asked
from stavewright.checking.metre import beat_length
from stavewright.checking.partwriting import Moment, Parts
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity

_ID = "cross-relation"


def _advise(parts: Parts) -> Iterator[Finding | None]:
    for earlier, later in parts.steps():
        for note in filter(later.strikes, later.sounding):
            other = _contradicted(parts, note, earlier)
            if other is not None:
                yield advice(_ID, note, _message(parts, other, note), _REASON)


def _contradicted(parts: Parts, note: Note, earlier: Moment) -> Note | None:
    """The note just before, in another voice, that this one takes back."""
    if any(_is_altered(one, note) and _leads(parts, one, note) for one in earlier.sounding):
        return None
    rivals = (
        one
        for one in earlier.sounding
        if parts.line(one) != parts.line(note) and _is_altered(one, note)
    )
    return next((one for one in rivals if _is_plain(parts, one) and _is_plain(parts, note)), None)


def _is_altered(one: Note, other: Note) -> bool:
    """Whether two notes share a letter and not its accidental."""
    same = one.pitch.letter is other.pitch.letter
    return same and one.pitch.cents_altered != other.pitch.cents_altered


def _leads(parts: Parts, one: Note, note: Note) -> bool:
    """Whether the change happens inside a line, that of the first note or that of the second."""
    after, before = parts.after(one), parts.before(note)
    own = after is not None and after.pitch.name == note.pitch.name
    return own or (before is not None and before.pitch.letter is note.pitch.letter)


def _is_plain(parts: Parts, note: Note) -> bool:
    """Whether the note is long enough to be heard as more than an ornament."""
    return note.duration >= beat_length(parts.score, note.start)


def _message(parts: Parts, one: Note, note: Note) -> str:
    return (
        f"{note.pitch} in {parts.name(note)} in {parts.place(note.start)} takes back the "
        f"{one.pitch} that {parts.name(one)} has just had; {parts.style.writing} prefers such a "
        "change within one voice"
    )


_REASON = (
    "The ear holds on to the accidental it heard in one voice, and hears the other voice "
    "contradict it (common practice, no source)."
)

RULE = Rule(
    id=_ID,
    severity=Severity.ADVICE,
    explanation=(
        "In chorale writing and strict counterpoint a note and its chromatic alteration follow "
        "each other in one voice, not in two. Across two voices the second is heard to contradict "
        "the first."
    ),
    wrong="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 A4 A4
alto: 1/2 E4 E4
tenor: 1/2 C4 A3
bass: 1/2 A2 C#3
""",
    right="""\
style: chorale
key: C major
time: 2/2
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 A4 A4
alto: 1/2 E4 E4
tenor: 1/2 C4 C#4
bass: 1/2 A2 A2
""",
    check=where_asked(_ID, _advise),
)
