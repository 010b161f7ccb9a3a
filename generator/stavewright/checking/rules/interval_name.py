"""interval-name: labels that name an interval against the notes they stand on.

A label on two notes at once names what lies between them. A label on a single note is taken as an
interval's name only when it is written out (`perfect fifth`), and it may count from the note
before, to the note after, from a note that sounds with it, or from the tonic.
"""

import re
from collections.abc import Iterator

from stavewright.checking.labelled import labelled_events
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Sounding, sounding
from stavewright.checking.words import article
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.labels import quoted
from stavewright.notation.score import Event, Score
from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.pitch import Pitch

_WRITTEN_OUT = re.compile(
    r"(?:(?:a|an|the) )?(?P<name>(?:(?:doubly|triply) )?"
    r"(?:perfect|major|minor|augmented|diminished|neutral) "
    r"(?:unison|second|third|fourth|fifth|sixth|seventh|octave|ninth|tenth|eleventh|twelfth|"
    r"thirteenth|fourteenth|fifteenth))",
    re.IGNORECASE,
)
_SHORT = re.compile(r"(?:P|M|m|n|A{1,3}|d{1,3})\d{1,2}")
_REASON = (
    "The letters give an interval its number and the sound its quality, so that C to F sharp is "
    "a fourth and C to G flat a fifth."
)


def _check(score: Score) -> Iterator[Finding]:
    for number, _, at, event in labelled_events(score):
        if len(event.heads) > 1:
            yield from _at_once(event)
        elif event.heads:
            yield from _in_line(event, (number, at), sounding(score), score)


def _at_once(event: Event) -> Iterator[Finding]:
    """Two notes at once, labelled as an event or on one of them."""
    pitches = [head.sound for head in event.heads if isinstance(head.sound, Pitch)]
    if len(pitches) != 2 or len(event.heads) != 2:
        return
    actual = min(pitches).interval_to(max(pitches))
    for labelled in (event, *event.heads):
        label, span = labelled.label, labelled.label_span
        said = _read(label, short=True)
        if label is None or span is None or said is None:
            continue
        if not _names(said, actual):
            better = _written_like(label, actual)
            message = (
                f"{min(pitches)} to {max(pitches)} is {article(actual.name)}, "
                f"not {article(said.name)}"
            )
            yield Finding("interval-name", Severity.ERROR, span, message, quoted(better), _REASON)


def _in_line(
    event: Event, place: tuple[int, int], what: Sounding, score: Score
) -> Iterator[Finding]:
    """A single note whose label writes an interval's name out."""
    said, span = _read(event.label, short=False), event.label_span
    pitch = event.heads[0].sound
    if said is None or event.label is None or span is None or not isinstance(pitch, Pitch):
        return
    note = next((n for n in what.notes if (n.voice, n.event) == place), None)
    if note is None:
        return
    before, after = what.before(note), what.after(note)
    lines = [n.pitch for n in (before, after) if n is not None]
    with_it = [n.pitch for n in what.within(note.onset, note.release) if n.index != note.index]
    others = lines + with_it
    key = score.key_at(note.start)
    tonic = [key.tonic.interval_to(pitch.name)] if key is not None else []
    meant = [pitch.interval_to(other).magnitude for other in others]
    if not lines or any(_names(said, interval) for interval in meant + tonic):
        return
    actual = lines[0].interval_to(pitch)
    ends = (lines[0], pitch) if before is not None else (pitch, lines[0])
    message = f"{ends[0]} to {ends[1]} is {article(actual.name)}, not {article(said.name)}"
    text = quoted(_written_like(event.label, actual))
    yield Finding("interval-name", Severity.WARNING, span, message, text, _REASON)


def _read(label: str | None, *, short: bool) -> Interval | None:
    """The interval that a label names, if it is an interval's name and nothing else."""
    text = (label or "").strip()
    match = _WRITTEN_OUT.fullmatch(text)
    if match is None and not (short and _SHORT.fullmatch(text)):
        return None
    try:
        return Interval.parse(match["name"].lower() if match else text)
    except TheoryError:
        # `major fifth` is no interval, and so no name that could be compared.
        return None


def _names(said: Interval, actual: Interval) -> bool:
    """Whether the name fits; a tenth may be called a third."""
    upwards = actual.magnitude
    return said in (upwards, upwards.simple)


def _written_like(label: str, interval: Interval) -> str:
    """The interval's name in the manner of the label: short or written out."""
    plain = interval.magnitude
    plain = plain if plain.number <= 15 else plain.simple
    if _SHORT.fullmatch(label.strip()):
        return plain.short
    is_capital = label.strip()[:1].isupper()
    has_article = label.strip().lower().startswith(("a ", "an "))
    name = article(plain.name) if has_article else plain.name
    return name[:1].upper() + name[1:] if is_capital else name


RULE = Rule(
    id="interval-name",
    severity=Severity.ERROR,
    explanation=(
        "A label that names an interval is compared with its two notes, by letters and by sound: "
        "C to F sharp is an augmented fourth, C to G flat a diminished fifth. Readers learn the "
        "names from just such labels."
    ),
    wrong="""\
notes: 1/2 C4&F#4"perfect fourth" C4&G4"P5"
""",
    right="""\
notes: 1/2 C4&F#4"augmented fourth" C4&G4"P5"
""",
    check=_check,
)
