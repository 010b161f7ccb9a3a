"""fugal-answer: a labelled answer against its subject, note by note.

A real answer is the subject a fifth higher (or a fourth lower, which is the same but for the
octave). A tonal answer takes some notes a fourth higher instead, about the dominant of the subject,
which the tonic answers. A later subject is the first one again, in any octave. The first note of
an entry may be longer or shorter than that of the subject.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from stavewright.checking.entries import Entry, EntryKind, entries, subject_of
from stavewright.checking.keys import key_at
from stavewright.checking.metre import place_words
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.labels import quoted
from stavewright.notation.score import Score
from stavewright.notation.source import Span
from stavewright.theory.interval import Interval
from stavewright.theory.pitch import Pitch

_ID = "fugal-answer"
_FIFTH, _FOURTH, _UNISON = (Interval.parse(short) for short in ("P5", "P4", "P1"))
_ALLOWED = {
    EntryKind.SUBJECT: (_UNISON,),
    EntryKind.ANSWER: (_FIFTH, _FOURTH),
    EntryKind.REAL: (_FIFTH,),
    EntryKind.TONAL: (_FIFTH, _FOURTH),
}


@dataclass(frozen=True, slots=True)
class _Pair:
    """A note of the subject and the note that answers it."""

    asked: Note
    given: Note

    @property
    def interval(self) -> Interval:
        """From the subject's note up to the answer's, octaves aside."""
        return self.asked.pitch.name.interval_to(self.given.pitch.name)


def _check(score: Score) -> Iterator[Finding]:
    found = entries(score)
    subject = subject_of(found)
    for entry in found:
        if subject and entry.start > subject[0].start:
            yield from _against(score, entry, subject)


def _against(score: Score, entry: Entry, subject: tuple[Note, ...]) -> Iterator[Finding]:
    pairs = [_Pair(asked, given) for asked, given in zip(subject, entry.notes, strict=False)]
    late = next((pair for pair in pairs[2:] if _delay(pair) != _delay(pairs[1])), None)
    if late is not None:
        pairs = pairs[: pairs.index(late)]
        yield from _off_rhythm(score, entry, late)
    allowed = _ALLOWED[entry.kind]
    strangers = [pair for pair in pairs if pair.interval not in allowed]
    if entry.kind is EntryKind.REAL and strangers and _is_tonal(score, pairs):
        yield from _misnamed(entry, EntryKind.TONAL)
        return
    for pair in strangers:
        yield from _strange(score, entry, pair, pairs)
    if not strangers and entry.kind is not EntryKind.SUBJECT:
        yield from _about_fourths(score, entry, pairs)


def _delay(pair: _Pair) -> Fraction:
    return pair.given.start - pair.asked.start


def _is_tonal(score: Score, pairs: list[_Pair]) -> bool:
    """Whether all is a fifth or fourth above, the fourths about the dominant."""
    fits = all(pair.interval in (_FIFTH, _FOURTH) for pair in pairs)
    return fits and not any(True for _ in _stray_fourths(score, pairs))


def _stray_fourths(score: Score, pairs: list[_Pair]) -> Iterator[_Pair]:
    """The first of each run of notes a fourth above that has no dominant in it."""
    for interval, run in groupby(pairs, key=lambda pair: pair.interval):
        there = list(run)
        has_key = key_at(score, there[0].asked.start) is not None
        has_dominant = any(_is_dominant(score, pair.asked) for pair in there)
        if interval == _FOURTH and has_key and not has_dominant:
            yield there[0]


def _is_dominant(score: Score, note: Note) -> bool:
    """Whether a note is the fifth degree of the key it is heard in."""
    key = key_at(score, note.start)
    return key is not None and key.degree(note.pitch.name) == (5, 0)


def _about_fourths(score: Score, entry: Entry, pairs: list[_Pair]) -> Iterator[Finding]:
    stray = list(_stray_fourths(score, pairs))
    if stray and all(pair.interval == _FOURTH for pair in pairs) and entry.label_span is not None:
        message = "This answer lies a fourth above the subject throughout: at the subdominant"
        yield _finding(entry.label_span, f"{message}, not at the dominant", None)
        return
    for pair in stray:
        right = _nearest(pair.asked, _FIFTH, pair.given)
        where = place_words(score, pair.given.start)
        message = (
            f"{pair.given.pitch} in {where} answers the subject's {pair.asked.pitch} a fourth "
            f"above, with no dominant near it for the tonic to answer; a fifth above it is {right}"
        )
        if pair.given.span is not None:
            yield _finding(pair.given.span, message, str(right))
    if entry.kind is EntryKind.TONAL and all(pair.interval == _FIFTH for pair in pairs):
        yield from _misnamed(entry, EntryKind.REAL)


def _misnamed(entry: Entry, right: EntryKind) -> Iterator[Finding]:
    what = (
        "takes notes about the dominant a fourth above the subject"
        if right is EntryKind.TONAL
        else "is the subject a fifth above throughout"
    )
    if entry.label_span is not None:
        message = f"This answer {what}: it is a {right.value}, not a {entry.kind.value}"
        yield _finding(entry.label_span, message, quoted(right.value))


def _strange(score: Score, entry: Entry, pair: _Pair, pairs: list[_Pair]) -> Iterator[Finding]:
    """A note that neither kind of answer has in this place."""
    asked, given = pair.asked, pair.given
    choices = [_nearest(asked, interval, given) for interval in _ALLOWED[entry.kind]]
    at = pairs.index(pair)
    around = {near.interval for near in pairs[max(0, at - 1) : at + 2]} - {pair.interval}
    open_to_both = _is_dominant(score, asked) or not around <= {_FIFTH}
    if entry.kind is EntryKind.SUBJECT:
        wanted = f"the entry repeats it as {choices[0]}"
    elif len(choices) == 1:
        wanted = f"a real answer has {choices[0]}"
    else:
        wanted = f"a real answer has {choices[0]}, a tonal one may have {choices[1]}"
    where = place_words(score, given.start)
    message = f"{given.pitch} in {where} stands for the subject's {asked.pitch}; {wanted}"
    if given.span is not None:
        yield _finding(
            given.span, message, str(choices[0]) if len(choices) == 1 or not open_to_both else None
        )


def _off_rhythm(score: Score, entry: Entry, late: _Pair) -> Iterator[Finding]:
    what = "entry" if entry.kind is EntryKind.SUBJECT else "answer"
    message = (
        f"The {what} leaves the rhythm of the subject at {late.given.pitch} in "
        f"{place_words(score, late.given.start)}; the subject's {late.asked.pitch} stands in "
        f"{place_words(score, late.asked.start)}"
    )
    if late.given.span is not None:
        yield _finding(late.given.span, message, None)


def _nearest(asked: Note, interval: Interval, given: Note) -> Pitch:
    """The note an interval above the subject's, in the octave nearest to what is written."""
    name = asked.pitch.name + interval
    octaves = (given.pitch.octave + shift for shift in (-1, 0, 1))
    return min(
        (name.at(octave) for octave in octaves),
        key=lambda pitch: abs(pitch.staff_position - given.pitch.staff_position),
    )


def _finding(span: Span, message: str, suggestion: str | None) -> Finding:
    return Finding(_ID, Severity.WARNING, span, message, suggestion, _REASON)


_REASON = (
    "An answer is the subject at the dominant: real where every note lies a fifth above, tonal "
    "where the dominant is answered by the tonic (common practice, no source)."
)

RULE = Rule(
    id=_ID,
    severity=Severity.WARNING,
    explanation=(
        'Where labels mark entries, `"subject"` in one voice and `"answer"` in another, the answer '
        "is compared with the subject note by note: at the fifth throughout, or with fourths about "
        "the dominant. A reader who follows the entries hears at once where one goes astray."
    ),
    wrong="""\
key: C major
time: 4/4
staves: treble(upper lower)
upper: rest | 1/4 G4"answer" B4 G4 1/8 B4 C5 | 1/1 D5
lower: 1/4 C4"subject" E4 D4 1/8 E4 F4 | 1/2 G4"codetta" E4 | 1/1 B3
""",
    right="""\
key: C major
time: 4/4
staves: treble(upper lower)
upper: rest | 1/4 G4"answer" B4 A4 1/8 B4 C5 | 1/1 D5
lower: 1/4 C4"subject" E4 D4 1/8 E4 F4 | 1/2 G4"codetta" E4 | 1/1 B3
""",
    check=_check,
)
