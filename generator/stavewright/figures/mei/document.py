"""A whole MEI document from a Score."""

from collections.abc import Sequence
from dataclasses import dataclass

from stavewright.figures.mei.anchors import Anchors
from stavewright.figures.mei.drumkit import kit_strands
from stavewright.figures.mei.drums import is_one_line
from stavewright.figures.mei.layers import Inset, LayerContext, layer_element
from stavewright.figures.mei.marks import Mark, all_marks
from stavewright.figures.mei.markup import attributes, element, escaped
from stavewright.figures.mei.rows import RowText, row_element, row_texts
from stavewright.figures.mei.segments import Segment, segments, stranded_keys
from stavewright.figures.mei.sheet import Sheet
from stavewright.figures.mei.signatures import printed_key
from stavewright.figures.mei.staves import (
    changes_element,
    clef_at,
    has_names,
    score_definition,
    staff_interval,
)
from stavewright.figures.mei.strands import Strand
from stavewright.figures.mei.symbols import RunWriter
from stavewright.notation.clefs import PERCUSSION
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


def documents(sheet: Sheet) -> Documents:
    """Write a score as MEI."""
    score, music = sheet.score, _music(sheet)
    wide = _document(score, score_definition(score), music)
    # All but the names is the same, and is not worked out again.
    if not has_names(score):
        return Documents(wide, wide)
    return Documents(wide, _document(score, score_definition(score, short=True), music))


def document(sheet: Sheet) -> str:
    """The MEI of the wide engraving, which has the names in full."""
    return _document(sheet.score, score_definition(sheet.score), _music(sheet))


def _document(score: Score, definition: str, music: str) -> str:
    """The whole text around the definition of the staves and the measures."""
    head = element("meiHead", inside=element("fileDesc", inside=_description(score)))
    inside = element("score", inside=definition + music)
    for tag in ("mdiv", "body", "music"):
        inside = element(tag, inside=inside)
    given = attributes({"xmlns": NAMESPACE, "meiversion": VERSION})
    return element("mei", given, head + inside)


def _description(score: Score) -> str:
    """What the file is, who made it, what may be done with it, and where it was taken from."""
    titles = _words("title", score.title or "")
    titles += "".join(_words("contributor", line) for line in score.credits)
    rights = ""
    if score.rights:
        rights = element("availability", inside=_words("useRestrict", score.rights))
    sources = "".join(element("source", inside=_words("bibl", line)) for line in score.sources)
    return (
        element("titleStmt", inside=titles)
        + element("pubStmt", inside=rights)
        + (element("sourceDesc", inside=sources) if sources else "")
    )


def _words(tag: str, words: str) -> str:
    printable = words if words.isprintable() else "".join(c for c in words if c.isprintable())
    return element(tag, inside=escaped(printable))


def _plan(sheet: Sheet) -> _Plan:
    score = sheet.score
    parts = segments(score)
    strands = tuple(s for staff in range(len(score.staves)) for s in _strands(sheet, staff))
    anchors = Anchors(strands, parts)
    contexts = tuple(
        LayerContext(sheet.signs, sheet.sung, is_one_line(score, staff))
        for staff in range(len(score.staves))
    )
    rows = row_texts(score, anchors, sheet.signs)
    marks = all_marks(score, strands, anchors)
    insets = tuple(_insets(score))
    return _Plan(score, parts, strands, anchors, rows, marks, insets, contexts)


def _strands(sheet: Sheet, staff: int) -> tuple[Strand, ...]:
    voices = tuple(strand for strand in sheet.strands if strand.staff == staff)
    if sheet.score.staves[staff].clef == PERCUSSION and len(voices) > 1:
        return kit_strands(sheet.score, voices)
    return voices


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


def _music(sheet: Sheet) -> str:
    """All measures, those of an ending under its bracket."""
    score, plan = sheet.score, _plan(sheet)
    writer = RunWriter()
    section = inside = ""
    ending: tuple[int, ...] = ()
    for place, segment in enumerate(plan.segments):
        bar = score.bars[segment.bar]
        before = score.bars[segment.bar - 1] if segment.bar else None
        again = before is not None and before.closing is BarSign.REPEAT_END and segment.opens
        if bar.ending != ending or (again and bar.ending):
            section, inside = section + _passage(ending, inside), ""
            ending = bar.ending
        if place:
            inside += changes_element(score, segment)
        inside += _measure(plan, place, writer)
    return element("section", inside=section + _passage(ending, inside))


def _passage(ending: tuple[int, ...], measures: str) -> str:
    """Measures, with the bracket of an ending over them if they are of one."""
    if not ending:
        return measures
    label = " ".join(f"{number}." for number in ending)
    return element("ending", attributes({"n": label}), measures)


def _measure(plan: _Plan, place: int, writer: RunWriter) -> str:
    parts = [_staff(plan, place, staff) for staff in range(len(plan.score.staves))]
    parts += [mark.markup for mark in plan.marks.get(place, ())]
    parts += [row_element(text, writer) for text in plan.rows.get(place, ())]
    return element("measure", _measure_attributes(plan, place), "".join(parts))


def _measure_attributes(plan: _Plan, place: int) -> str:
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
    return attributes(
        {
            "n": str(bar.number),
            "left": "rptstart" if starts else None,
            "right": right if segment.closes else "invis",
            "metcon": None if is_whole else "false",
        }
    )


def _staff(plan: _Plan, place: int, index: int) -> str:
    """One staff of a measure."""
    segment = plan.segments[place]
    strands = [strand for strand in plan.strands if strand.staff == index]
    insets = _insets_in(plan, place, index)
    best = _best_layer(strands, insets)
    layers = [
        layer_element(
            number + 1, strand, segment, insets if number == best else (), plan.contexts[index]
        )
        for number, strand in enumerate(strands)
    ]
    inside = "".join(layers) + plan.anchors.spaces(place, index)
    return element("staff", f' n="{index + 1}"', inside)


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
