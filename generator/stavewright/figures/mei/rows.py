"""Rows of text over and under the staves: labels, chord symbols, numerals, figured bass.

Each row is MEI's `harm` with a number: the engraver gives equal numbers one baseline and moves
notes apart so that neighbours do not touch. Above the staff higher numbers lie higher; below it,
lower.
"""

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.accidentals import HeadPlace, Sign
from stavewright.figures.mei.anchors import Anchors
from stavewright.figures.mei.ids import event_id
from stavewright.figures.mei.markup import Attributes, attributes, decimal, element, escaped
from stavewright.figures.mei.staves import label_place
from stavewright.figures.mei.symbols import (
    Run,
    RunWriter,
    Setting,
    bass_figure_text,
    chord_runs,
    numeral_runs,
)
from stavewright.notation import limits
from stavewright.notation.score import (
    BassFigureEvent,
    ChordEvent,
    Event,
    Score,
    Voice,
)
from stavewright.theory.key import Key

_CENTS_ROW: Final = 1
_LABEL_ROW: Final = 2
_FIGURE_ROW: Final = 30
_SHIFT: Final = "-1"
"""Half staff spaces: the engraver forgets that raised figures rise towards the beams above."""
_FIGURE_SHIFT: Final = "-2"
"""The same for figures of a bass, which it sets closer still."""
_BEHIND_FIGURES_SHIFT: Final = "-3"
"""The same for rows behind those, whose raised figures would rise into them."""
_CHORD_ROW: Final = 40
_CHORD_LABEL_ROW: Final = 41
_NUMERAL_ROW: Final = 50
_PIVOT_ROW: Final = 51
_NUMERAL_LABEL_ROW: Final = 52
_ROWS: Final = 100
"""More than the rows on one side of a staff."""
_LABEL_WIDTH: Final = 8
"""Characters of a line of a label in a crowd; longer words stand alone."""
_CROWDED: Final = Fraction(1, 2)
_NEIGHBOURS: Final = 8
"""Events looked at on either side."""
_ROOM: Final = "\u00a0"
"""Kept free on both sides of a text: a reader's text face may be wider than the engraver's."""
_ROOM_EVERY: Final = 12
"""One more for so many characters."""


@dataclass(frozen=True, slots=True)
class RowText:
    """One text of one row."""

    segment: int
    place: str
    """`above` or `below`."""
    row: int
    anchor: Attributes
    runs: tuple[Run, ...] = ()
    figures: tuple[str, ...] = ()
    """Of a figured bass, from the top down, instead of runs."""
    extra_room: int = 0
    """Spaces on each side beyond the usual, for a longer text in the row behind."""
    shift: str = _SHIFT
    """Of a text below its staff."""


def row_element(text: RowText, writer: RunWriter) -> str:
    """A text as it stands in its measure."""
    given = {
        "place": text.place,
        "n": str(_row_number(text)),
        **text.anchor,
        "vo": text.shift if text.place == "below" else None,
    }
    if text.figures:
        figures = "".join(element("f", inside=escaped(figure)) for figure in text.figures)
        inside = element("fb", inside=figures)
    else:
        room = _ROOM * (1 + _length(text.runs) // _ROOM_EVERY + text.extra_room)
        inside = f"{room}{writer.written(text.runs)}{room}"
    return element("harm", attributes(given), inside)


def _length(runs: Sequence[Run]) -> int:
    return sum(len(run.text) for run in runs)


def _room_for(runs: Sequence[Run], *behind: Sequence[Run]) -> int:
    """Spaces that make a text below the staff about as long as those in the rows behind it.

    Where a text there reaches under the neighbours of the one before it, the engraver moves their
    whole row away from the staff.
    """
    excess = max((_length(other) for other in behind), default=0) - _length(runs)
    return max(0, excess // 2)


def _row_number(text: RowText) -> int:
    """A number of its own for each row of each staff: the engraver keeps equal ones apart."""
    staff = int(text.anchor.get("staff") or 1)
    return text.row + _ROWS * (2 * staff + (text.place == "below"))


def row_texts(
    score: Score, anchors: Anchors, signs: Mapping[HeadPlace, Sign]
) -> dict[int, list[RowText]]:
    """All texts of a Score by the segment they stand in."""
    found: dict[int, list[RowText]] = {}
    for source in (
        _event_labels(score, anchors, signs),
        _chords(score, anchors),
        _bass_figures(score, anchors),
        _numerals(score, anchors),
    ):
        for text in source:
            found.setdefault(text.segment, []).append(text)
    return found


def _event_labels(
    score: Score, anchors: Anchors, signs: Mapping[HeadPlace, Sign]
) -> Iterator[RowText]:
    off_sign = {(place.voice, place.event) for place, sign in signs.items() if sign.cents}
    for index, voice in enumerate(score.voices):
        place = label_place(score, index)
        for number, event in enumerate(voice.events):
            labels = _labels(event, place)
            # A rest that fills its bar is anchored all the same, which makes room for it.
            if not (labels or event.fills_bar or (index, number) in off_sign):
                continue
            anchor_id = anchors.of_event(index, number) or event_id(voice.name, number)
            number_of_staff = str(voice.staff + 1)
            anchor: Attributes = {"startid": f"#{anchor_id}", "staff": number_of_staff}
            if event.fills_bar:
                _, anchor = anchors.at(event.start, voice.staff)
            segment = anchors.segment_of(event.bar, event.start)
            found = [signs.get(HeadPlace(index, number, at)) for at in range(len(event.heads))]
            # Over one note its cents say enough; over a chord, whose they are.
            names = len(found) > 1
            figures = [
                f"{sign.pitch.letter.name if names else ''}{_cents_text(sign.cents)}"
                for sign in found
                if sign and sign.cents
            ]
            if figures:
                runs = (Run(" ".join(figures), Setting.SMALL),)
                yield RowText(segment, place, _CENTS_ROW, anchor, runs)
            if not labels:
                continue
            width = _LABEL_WIDTH if _is_crowded(voice, number) else limits.LONGEST_LABEL
            for row, line in enumerate(_label_lines(labels, place, width)):
                yield RowText(segment, place, _LABEL_ROW + row, anchor, (Run(line),))


def _labels(event: Event, place: str) -> list[str]:
    """All labels at one moment, the one nearest the staff first."""
    heads = event.heads[::-1] if place == "below" else event.heads
    found = [*[head.label for head in heads], event.label, *[g.label for g in event.graces]]
    return [label for label in found if label]


def _label_lines(labels: Sequence[str], place: str, width: int) -> list[str]:
    """The lines of those labels, in the same order."""
    lines: list[str] = []
    for label in labels:
        parts = textwrap.wrap(label, width, break_long_words=False, break_on_hyphens=False)
        lines += parts if place == "below" else parts[::-1]
    return lines


def _is_crowded(voice: Voice, number: int) -> bool:
    """Whether another label stands so near that long ones would tear the notes apart."""
    here = voice.events[number].start
    near = voice.events[max(0, number - _NEIGHBOURS) : number + _NEIGHBOURS + 1]
    return any(
        (event.label or any(head.label for head in event.heads))
        and 0 < abs(event.start - here) < _CROWDED
        for event in near
    )


def _cents_text(cents: int) -> str:
    return f"{'+' if cents > 0 else '−'}{abs(cents)}¢"


def _chords(score: Score, anchors: Anchors) -> Iterator[RowText]:
    for event in score.chords:
        segment, anchor = anchors.at(event.start, 0)
        yield RowText(segment, "above", _CHORD_ROW, anchor, chord_event_runs(event))
        if event.label:
            runs = _label_runs(event.label)
            yield RowText(segment, "above", _CHORD_LABEL_ROW, anchor, runs)


def _label_runs(label: str | None) -> tuple[Run, ...]:
    return (Run(label),) if label else ()


def chord_event_runs(event: ChordEvent) -> tuple[Run, ...]:
    """A chord symbol as it is set; N.C. for a gap."""
    if event.chord is None:
        return (Run("N.C."),)
    return chord_runs(event.chord.written_parts)


def _bass_figures(score: Score, anchors: Anchors) -> Iterator[RowText]:
    lowest = len(score.staves) - 1
    for number, event in enumerate(score.bass_figures):
        if event.figures:
            segment, anchor = anchors.at(event.start, lowest)
            after = score.bass_figures[number + 1 : number + 2]
            if any(not each.figures for each in after):
                stamp = decimal(anchors.stamp(segment, event.start + event.duration))
                anchor = {**anchor, "tstamp2": f"0m+{stamp}"}
            figures = bass_figures_text(event)
            yield RowText(
                segment, "below", _FIGURE_ROW, anchor, figures=figures, shift=_FIGURE_SHIFT
            )


def bass_figures_text(event: BassFigureEvent) -> tuple[str, ...]:
    """Figures over a bass note, from the top down."""
    return tuple(bass_figure_text(figure) for figure in event.figures)


def _numerals(score: Score, anchors: Anchors) -> Iterator[RowText]:
    lowest = len(score.staves) - 1
    key = score.key
    shift = _BEHIND_FIGURES_SHIFT if score.bass_figures else _SHIFT
    for event in score.numerals:
        if event.numeral is None:
            continue
        segment, anchor = anchors.at(event.start, lowest)
        runs = numeral_runs(event.numeral.parts)
        if event.key is not None and event.key != key:
            runs = (*_key_runs(event.key), *runs)
            key = event.key
        pivot: tuple[Run, ...] = ()
        if event.pivot is not None and event.pivot_key is not None:
            key = event.pivot_key
            pivot = (*_key_runs(key), *numeral_runs(event.pivot.parts))
        label = _label_runs(event.label)
        room = _room_for(runs, pivot, label)
        yield RowText(segment, "below", _NUMERAL_ROW, anchor, runs, extra_room=room, shift=shift)
        if pivot:
            yield RowText(segment, "below", _PIVOT_ROW, anchor, pivot, shift=shift)
        if label:
            yield RowText(segment, "below", _NUMERAL_LABEL_ROW, anchor, label, shift=shift)


def _key_runs(key: Key) -> tuple[Run, ...]:
    """The name of a key that numerals are read in from here on."""
    return (Run(f"{key.display}:{_ROOM}", Setting.SMALL),)
