"""The shapes that the chords of a list make on the pitch-class clock."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from stavewright.figures.spoken.symbols import chord_words, numeral_words
from stavewright.figures.stretches import chord_id, numeral_id
from stavewright.figures.views.canvas import Canvas, text_width
from stavewright.figures.views.labels import chord_text
from stavewright.figures.views.table_chords import numeral_text
from stavewright.notation.score import Event, Score
from stavewright.theory import Pitch, PitchName

DASHES = ("none", "7 4", "1.5 3.5", "11 3 2 3")
"""How the outlines of the first chord, the second … are drawn: not by colour, and no more chords
than can be told apart."""

_SAMPLE, _GAP, _BETWEEN = 30.0, 7.0, 22.0
_SIZE = 13.0
_ROW = 22.0


@dataclass(frozen=True, slots=True)
class ClockShape:
    """One chord, however often the list has it."""

    name: str
    words: str
    """The name, spoken."""
    tones: tuple[PitchName, ...]
    """Round the clock, as the chord spells them."""
    ids: tuple[str, ...]
    """Of its symbols; see `stretches`."""

    @property
    def width(self) -> float:
        """Of its place in the legend."""
        return _SAMPLE + _GAP + text_width(self.name, _SIZE)


def chord_shapes(score: Score) -> tuple[ClockShape, ...]:
    """The different chords of a list; none for one, for too many, or where there is rhythm."""
    listed = _listed(score)
    if listed is None:
        return ()
    found: dict[str, ClockShape] = {}
    for start, name, words, id_ in _named(score):
        if start not in listed:
            continue
        earlier = found[name].ids if name in found else ()
        found[name] = ClockShape(name, words, _tones(listed[start]), (*earlier, id_))
    return tuple(found.values()) if 1 < len(found) <= len(DASHES) else ()


def legend_rows(shapes: tuple[ClockShape, ...], width: float) -> list[list[ClockShape]]:
    """The shapes in rows that fit a width."""
    rows: list[list[ClockShape]] = []
    for shape in shapes:
        if rows and _wide([*rows[-1], shape]) <= width:
            rows[-1].append(shape)
        else:
            rows.append([shape])
    return rows


def legend_height(rows: list[list[ClockShape]]) -> float:
    """The room that a legend needs."""
    return _ROW * len(rows)


def legend(canvas: Canvas, rows: list[list[ClockShape]], top: float) -> None:
    """Which outline is which chord."""
    dashes = iter(DASHES)
    for number, row in enumerate(rows):
        x, y = (canvas.width - _wide(row)) / 2, top + _ROW * (number + 0.5)
        for shape in row:
            canvas.line(x, y, x + _SAMPLE, y, 1.6, stroke_dasharray=next(dashes))
            canvas.text(x + _SAMPLE + _GAP, y + 4.5, shape.name, _SIZE, text_anchor="start")
            x += shape.width + _BETWEEN


def _wide(row: list[ClockShape]) -> float:
    return sum(shape.width for shape in row) + _BETWEEN * (len(row) - 1)


def _listed(score: Score) -> dict[Fraction, Event] | None:
    """The chords of a list that was written out, by their moments; None for any other music.

    Heads that an author wrote without values have no moments of their own.
    """
    events = [event for voice in score.voices for event in voice.events if event.heads]
    if len(score.voices) != 1 or any(event.value or len(event.heads) < 2 for event in events):
        return None
    found = {event.start: event for event in events}
    return found if len(found) == len(events) else None


def _named(score: Score) -> Iterator[tuple[Fraction, str, str, str]]:
    """When each symbol comes, as it is written and spoken, and its id."""
    for index, event in enumerate(score.chords):
        if event.chord is not None:
            name = chord_text(event.chord)
            yield event.start, name, chord_words(event.chord.parts), chord_id(index)
    if not score.chords:
        for index, numbered in enumerate(score.numerals):
            if numbered.numeral is not None:
                name, words = numeral_text(numbered.numeral), numeral_words(numbered.numeral.parts)
                yield numbered.start, name, words, numeral_id(index)


def _tones(event: Event) -> tuple[PitchName, ...]:
    pitches = (head.sound for head in event.heads)
    names = {pitch.name for pitch in pitches if isinstance(pitch, Pitch)}
    return tuple(sorted(names, key=lambda name: name.cents))
