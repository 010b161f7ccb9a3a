"""An interval: between two notes, or by its name, with its size, inversion and other names."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from stavewright.articles.worked.answer import Answer, rows
from stavewright.articles.worked.pasting import block, claim, clef_for, clef_line, together
from stavewright.articles.worked.question import read_at
from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.pitch import Pitch, PitchName

_PAIR: Final = re.compile(r"\s*(?P<low>[^\s,]+)(?:\s+to\s+|\s*,\s*|\s+)(?P<high>[^\s,]+)\s*")
_NOTE_LIKE: Final = re.compile(r"[A-Ha-h][bx]*(?:[^a-zA-Z]|$)")
"""How a note begins, right or wrong, and no word does."""
_MIDDLE_C: Final = Pitch.parse("C4")
_OCTAVES: Final = range(-1, 11)
"""Octaves that can be written."""
_MOST_ALTERED: Final = 600
"""Cents of the most accidentals that can be written."""
_NEAR: Final = (-2, -1, 1, 2)
"""Letters more or fewer, in which a name for the same sound is sought."""

Note = Pitch | PitchName


def interval_answer(text: str, start: Note | None = None) -> Answer:
    """Work out `F4 D#5`, `F to D#` or a name such as `augmented sixth`, counted from a note.

    Without octaves the second note is the higher. Raises TheoryError for text that is neither, and
    where both two notes and a start are given.
    """
    pair = _pair(text)
    if pair is None:
        return _named(text, Interval.parse(text), start)
    if start is not None:
        raise TheoryError("Two notes have their start already; name an interval instead", text)
    low, high = pair
    interval = _distance(low, high)
    question = f"{low} to {high}"
    return Answer(
        question, rows(*_facts(interval)), _reasons(interval), _claim(low, high), _block(low, high)
    )


def read_note(text: str) -> Note:
    """Read a pitch, or a name without an octave; raises TheoryError."""
    return Pitch.parse(text) if text[-1:].isdecimal() else PitchName.parse(text)


def _named(text: str, interval: Interval, start: Note | None) -> Answer:
    low = _MIDDLE_C if start is None else start
    above, below = low + interval.magnitude, low - interval.magnitude
    facts = (
        *_facts(interval),
        (f"above {low}", str(above)),
        (f"below {low}", str(below)),
    )
    upwards = interval.magnitude
    said = None
    if start is not None:
        said = _claim(low, above)
    elif upwards.cents >= 0:
        said = claim("interval", upwards.name, _size(Fraction(upwards.cents)))
    shown = _block(low, low + interval if isinstance(low, Pitch) else above)
    return Answer(text.strip(), rows(*facts), _reasons(interval), said, shown)


def _pair(text: str) -> tuple[Note, Note] | None:
    """Read two notes; None where the text is not two words that look like notes."""
    match = _PAIR.fullmatch(text)
    if match is None or not all(_NOTE_LIKE.match(match[side]) for side in (1, 2)):
        return None
    low, high = (read_at(text, match[n], match.start(n), read_note) for n in (1, 2))
    if isinstance(low, Pitch) is not isinstance(high, Pitch):
        raise TheoryError("Either both notes have an octave or neither has", text)
    return low, high


def _claim(low: Note, high: Note) -> str | None:
    """State the interval; notes without octaves have one within the octave."""
    for note in (low, high):
        is_far = isinstance(note, Pitch) and note.octave not in _OCTAVES
        if is_far or abs(note.cents_altered) > _MOST_ALTERED:
            return None
    return claim("interval", f"{low} to {high}", _distance(low, high).name)


def _distance(low: Note, high: Note) -> Interval:
    if isinstance(low, Pitch) and isinstance(high, Pitch):
        return low.interval_to(high)
    return _name(low).interval_to(_name(high))


def _name(note: Note) -> PitchName:
    return note.name if isinstance(note, Pitch) else note


def _facts(interval: Interval) -> tuple[tuple[str, str], ...]:
    upwards = interval.magnitude
    simple = upwards.simple
    octaves = "an octave" if (upwards.steps - simple.steps) // 7 == 1 else "octaves"
    return (
        ("name", interval.name + (", downwards" if interval.is_descending else "")),
        ("short", interval.short),
        ("size", _size(Fraction(upwards.cents))),
        ("cents", str(upwards.cents)),
        ("inversion", upwards.inversion.name),
        ("compound of", f"{octaves} and a {simple.name}" if upwards.is_compound else ""),
        ("sounds like", ", ".join(_other_names(upwards))),
    )


def _size(cents: Fraction) -> str:
    """Size in half steps, as claims state it; in cents where it is no half step."""
    if cents.denominator != 1 or cents % 50:
        return f"{cents} cents"
    count = cents / 100
    number = str(count) if count.denominator == 1 else f"{float(count):.1f}"
    return f"{number} half step{'' if count == 1 else 's'}"


def _other_names(upwards: Interval) -> list[str]:
    """Give the plainer names of the same sound: none that is more than once augmented."""
    found = []
    for letters in _NEAR:
        steps = upwards.steps + letters
        if steps < 0 or (steps == 0 and upwards.cents < 0):
            continue
        other = Interval(steps, upwards.cents)
        if " " not in other.quality and not other.is_descending:
            found.append(other.name)
    return found


def _reasons(interval: Interval) -> tuple[str, ...]:
    found = []
    if _other_names(interval.magnitude):
        found.append("Letters give an interval its number, the sound its quality.")
    return tuple(found)


def _block(low: Note, high: Note) -> str | None:
    if not (isinstance(low, Pitch) and isinstance(high, Pitch)):
        name = _name(low)
        low = name.at(4)
        high = low + name.interval_to(_name(high))
    pitches = (low, high)
    clef = clef_for(pitches)
    if clef is None or any(pitch.cents_altered % 50 for pitch in pitches):
        return None
    label = f'"{low.interval_to(high).name}"'
    # Two notes on one line of the staff, and a way down, are read one after the other.
    melodic = high.staff_position <= low.staff_position
    notes = f"{low} {high}{label}" if melodic else f"({together(pitches)}){label}"
    return block(clef_line(clef), ("notes", notes))
