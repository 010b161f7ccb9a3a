"""A whole MEI document from a Score."""

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from stavewright.figures.mei.accidentals import printed_signs
from stavewright.figures.mei.anchors import Anchors
from stavewright.figures.mei.drumkit import kit_strands
from stavewright.figures.mei.drums import is_one_line
from stavewright.figures.mei.layers import Inset, LayerContext, add_layer
from stavewright.figures.mei.lyrics import sung_syllables
from stavewright.figures.mei.marks import Mark, add_marks, all_marks
from stavewright.figures.mei.rows import RowText, add_rows, row_texts
from stavewright.figures.mei.segments import Segment, segments, stranded_keys
from stavewright.figures.mei.signatures import printed_key
from stavewright.figures.mei.staves import (
    add_changes,
    add_score_def,
    shorten_names,
    staff_interval,
)
from stavewright.figures.mei.strands import Strand, voice_strand
from stavewright.figures.mei.symbols import RunWriter
from stavewright.figures.mei.tree import add, written
from stavewright.notation.score import BarSign, Score

NAMESPACE = "http://www.music-encoding.org/ns/mei"
VERSION = "5.1"
_RIGHT = {
    BarSign.DOUBLE: "dbl",
    BarSign.FINAL: "end",
    BarSign.REPEAT_END: "rptend",
    BarSign.REPEAT_BOTH: "rptboth",
}


@dataclass(frozen=True, slots=True)
class _Plan:
    """All that goes into measures, worked out beforehand."""

    score: Score
    segments: tuple[Segment, ...]
    strands: tuple[Strand, ...]
    anchors: Anchors
    rows: dict[int, list[RowText]]
    marks: dict[int, list[Mark]]
    insets: tuple[tuple[int, Inset], ...]
    """Each with the staff it stands on."""
    contexts: tuple[LayerContext, ...]
    """One for each staff."""


@dataclass(frozen=True, slots=True)
class Documents:
    """One Score as MEI 5.1, for the two widths at which it is engraved."""

    wide: str
    narrow: str
    """With short names before the staves, which leave a phone more room; else the same."""


def documents(score: Score) -> Documents:
    """Write a Score as MEI. It must have passed `limits.fault_in`."""
    mei, definition = _tree(score)
    wide = written(mei)
    # All but the names is the same, and is not worked out again.
    shortened = shorten_names(definition, score)
    return Documents(wide, written(mei) if shortened else wide)


def document(score: Score) -> str:
    """The MEI of the wide engraving, which has the names in full."""
    return written(_tree(score)[0])


def _tree(score: Score) -> tuple[ET.Element, ET.Element]:
    """The whole document, and the definition of the staves in it."""
    mei = ET.Element("mei", {"xmlns": NAMESPACE, "meiversion": VERSION})
    _describe(add(add(mei, "meiHead"), "fileDesc"), score)
    body = add(add(add(mei, "music"), "body"), "mdiv")
    plan = _plan(score)
    element = add(body, "score")
    definition = add_score_def(element, score)
    _add_measures(add(element, "section"), plan)
    return mei, definition


def _describe(description: ET.Element, score: Score) -> None:
    """What the file is, who made it, what may be done with it, and where it was taken from."""
    titles = add(description, "titleStmt")
    add(titles, "title").text = _printable(score.title or "")
    for line in score.credits:
        add(titles, "contributor").text = _printable(line)
    publication = add(description, "pubStmt")
    if score.rights:
        availability = add(publication, "availability")
        add(availability, "useRestrict").text = _printable(score.rights)
    if score.sources:
        sources = add(description, "sourceDesc")
        for line in score.sources:
            add(add(sources, "source"), "bibl").text = _printable(line)


def _printable(words: str) -> str:
    return "".join(c for c in words if c.isprintable())


def _plan(score: Score) -> _Plan:
    parts = segments(score)
    strands = tuple(s for staff in range(len(score.staves)) for s in _strands(score, staff))
    anchors = Anchors(strands, parts)
    signs = printed_signs(score)
    sung = sung_syllables(score)
    contexts = tuple(
        LayerContext(signs, sung, is_one_line(score, staff)) for staff in range(len(score.staves))
    )
    rows = row_texts(score, anchors, signs)
    marks = all_marks(score, strands, anchors)
    insets = tuple(_insets(score))
    return _Plan(score, parts, strands, anchors, rows, marks, insets, contexts)


def _strands(score: Score, staff: int) -> tuple[Strand, ...]:
    voices = [place for place, voice in enumerate(score.voices) if voice.staff == staff]
    if score.staves[staff].clef == "percussion" and len(voices) > 1:
        return kit_strands(score, staff)
    # A drummer reads one line of strokes best with all stems up.
    alone = False if score.staves[staff].clef == "percussion" else None
    several = len(voices) > 1
    return tuple(
        voice_strand(score, voice, place % 2 == 1 if several else alone)
        for place, voice in enumerate(voices)
    )


def _insets(score: Score) -> list[tuple[int, Inset]]:
    """Clef changes, and key signatures for which no bar could be cut."""
    insets = [
        (change.staff, Inset(change.at, clef=change.clef))
        for change in score.clef_changes
        if change.at > 0
    ]
    for at, key in stranded_keys(score).items():
        for staff in range(len(score.staves)):
            printed = printed_key(key, staff_interval(score, staff))
            clef = clef_at(score, staff, at)
            insets.append((staff, Inset(at, key=printed, key_clef=clef)))
    return insets


def clef_at(score: Score, staff: int, time: Fraction) -> str:
    """The clef in force on a staff at a time."""
    changes = [c.clef for c in score.clef_changes if c.staff == staff and c.at <= time]
    return changes[-1] if changes else score.staves[staff].clef


def _add_measures(section: ET.Element, plan: _Plan) -> None:
    """Write all measures, those of an ending under its bracket."""
    score = plan.score
    writer = RunWriter()
    parent = section
    ending: tuple[int, ...] = ()
    for place, segment in enumerate(plan.segments):
        bar = score.bars[segment.bar]
        before = score.bars[segment.bar - 1] if segment.bar else None
        again = before is not None and before.closing is BarSign.REPEAT_END and segment.opens
        if bar.ending != ending or (again and bar.ending):
            parent, ending = section, bar.ending
            if ending:
                label = " ".join(f"{number}." for number in ending)
                parent = add(section, "ending", {"n": label})
        if place:
            add_changes(parent, score, segment)
        measure = add(parent, "measure", _measure_attributes(plan, place))
        _fill(measure, plan, place)
        add_marks(measure, plan.marks.get(place, []))
        add_rows(measure, plan.rows.get(place, []), writer)


def _measure_attributes(plan: _Plan, place: int) -> dict[str, str | None]:
    segment = plan.segments[place]
    bars = plan.score.bars
    bar = bars[segment.bar]
    after = bars[segment.bar + 1] if segment.bar + 1 < len(bars) else None
    is_both = (
        bar.closing is BarSign.REPEAT_END
        and after is not None
        and after.opening is BarSign.REPEAT_START
    )
    right = "rptboth" if is_both else _RIGHT.get(bar.closing)
    is_joined = segment.bar > 0 and bars[segment.bar - 1].closing is BarSign.REPEAT_END
    starts = bar.opening is BarSign.REPEAT_START and segment.opens and not is_joined
    is_whole = segment.meter is not None and segment.length == segment.meter.length
    return {
        "n": str(bar.number),
        "left": "rptstart" if starts else None,
        "right": right if segment.closes else "invis",
        "metcon": None if is_whole else "false",
    }


def _fill(measure: ET.Element, plan: _Plan, place: int) -> None:
    segment = plan.segments[place]
    for index in range(len(plan.score.staves)):
        staff = add(measure, "staff", {"n": str(index + 1)})
        strands = [strand for strand in plan.strands if strand.staff == index]
        insets = _insets_in(plan, place, index)
        for number, strand in enumerate(strands):
            own = insets if number == _best_layer(strands, insets) else []
            add_layer(staff, number + 1, strand, segment, own, plan.contexts[index])
        plan.anchors.add_spaces(staff, place, index)


def _insets_in(plan: _Plan, place: int, staff: int) -> list[Inset]:
    """Clefs at a bar line stand before it, at the end of the measure."""
    segment = plan.segments[place]
    is_last = place + 1 == len(plan.segments)
    return [
        inset
        for on, inset in plan.insets
        if on == staff
        and (segment.start < inset.at < segment.end or (inset.at == segment.end and not is_last))
    ]


def _best_layer(strands: Sequence[Strand], insets: Sequence[Inset]) -> int:
    """The layer in which something begins where the first inset stands."""
    if not insets:
        return 0
    for number, strand in enumerate(strands):
        if any(item.start == insets[0].at for item in strand.items):
            return number
    return 0
