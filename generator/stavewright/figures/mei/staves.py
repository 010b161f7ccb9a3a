"""The staves of a score: clefs, names, brackets, and the signatures they begin and go on with."""

import xml.etree.ElementTree as ET
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.drums import is_one_line
from stavewright.figures.mei.segments import Segment, meter_at
from stavewright.figures.mei.signatures import add_clef, add_signature, printed_key
from stavewright.figures.mei.tree import add
from stavewright.notation.score import Event, Score
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key
from stavewright.theory.meter import Meter, MeterSymbol
from stavewright.theory.pitch import Pitch

_HANDS: Final = frozenset({"right", "left", "right-hand", "left-hand", "rh", "lh"})


_QUARTER_TONE: Final = 50
"""Cents."""


def add_score_def(parent: ET.Element, score: Score) -> ET.Element:
    """Add the definition of all staves as they begin, and give it back."""
    element = add(parent, "scoreDef", {"mnum.visible": "true"})
    meter = meter_at(score, Fraction(0))
    if meter is not None:
        _add_meter(element, meter)
    group = add(
        element,
        "staffGrp",
        {"symbol": _symbol(score), "bar.thru": "true" if _joins_bars(score) else None},
    )
    for staff in range(len(score.staves)):
        _add_staff(group, score, staff)
    return element


def shorten_names(definition: ET.Element, score: Score) -> bool:
    """Put the short names of the voices where the names in full stand; say whether there are any.

    `definition` is what `add_score_def` gave for this score.
    """
    labels = definition.findall("staffGrp/staffDef/label")
    for staff, label in enumerate(labels):
        label.clear()
        _write_lines(label, _short(_names(score, staff)))
    return bool(labels)


def add_changes(parent: ET.Element, score: Score, segment: Segment) -> None:
    """Add the signatures that change where a segment begins."""
    key = next((c.key for c in score.key_changes if c.at == segment.start), None)
    meter = next((c.meter for c in score.meter_changes if c.at == segment.start), None)
    if key is None and meter is None:
        return
    element = add(parent, "scoreDef")
    if key is not None and not _differ(score):
        before = _key_before(score, segment.start)
        interval = staff_interval(score, 0)
        was, now = printed_key(before, interval), printed_key(key, interval)
        add_signature(element, now, _first_pitched_clef(score), was)
    if meter is not None:
        _add_meter(element, meter)
    if key is not None and _differ(score):
        _add_key_by_staff(element, score, segment.start, key)


def staff_interval(score: Score, staff: int) -> Interval | None:
    """By how much the voices of a staff are printed above what sounds."""
    return next((v.transposition for v in score.voices if v.staff == staff), None)


def _differ(score: Score) -> bool:
    """Whether staves need signatures of their own: transposing, or past what clefs share."""
    intervals = {staff_interval(score, staff) for staff in range(len(score.staves))}
    keys = [score.key, *(change.key for change in score.key_changes)]
    wide = any(
        printed is not None and printed.is_theoretical
        for key in keys
        for interval in intervals
        if (printed := printed_key(key, interval)) is not None
    )
    percussion = any(staff.clef == "percussion" for staff in score.staves)
    return wide or percussion or len(intervals) > 1


def _add_key_by_staff(element: ET.Element, score: Score, at: Fraction, key: Key) -> None:
    group = add(element, "staffGrp")
    before = _key_before(score, at)
    for staff in range(len(score.staves)):
        interval = staff_interval(score, staff)
        definition = add(group, "staffDef", {"n": str(staff + 1)})
        clef = _clef_before(score, staff, at)
        was, now = printed_key(before, interval), printed_key(key, interval)
        add_signature(definition, now, clef, was)


def _key_before(score: Score, at: Fraction) -> Key | None:
    earlier = [change.key for change in score.key_changes if change.at < at]
    return earlier[-1] if earlier else score.key


def _clef_before(score: Score, staff: int, at: Fraction) -> str:
    changes = [c.clef for c in score.clef_changes if c.staff == staff and c.at <= at]
    return changes[-1] if changes else score.staves[staff].clef


def _first_pitched_clef(score: Score) -> str:
    clefs = [staff.clef for staff in score.staves if staff.clef != "percussion"]
    return clefs[0] if clefs else "treble"


def _symbol(score: Score) -> str | None:
    if len(score.staves) < 2:
        return None
    return "brace" if _is_keyboard(score) else "bracket"


def _is_keyboard(score: Score) -> bool:
    return len(score.staves) == 2 and any(voice.name in _HANDS for voice in score.voices)


def _joins_bars(score: Score) -> bool:
    """Bar lines run through the staves, but not through words and labels between them."""
    if len(score.staves) < 2:
        return False
    return _is_keyboard(score) or not (score.words or _has_inner_labels(score))


def _has_inner_labels(score: Score) -> bool:
    last = len(score.staves) - 1
    for index, voice in enumerate(score.voices):
        is_outside = voice.staff == (0 if label_place(score, index) == "above" else last)
        if not is_outside and any(_is_labelled(event) for event in voice.events):
            return True
    return False


def _is_labelled(event: Event) -> bool:
    """Whether text stands at an event: a label, or a figure for its cents."""
    sounds = [head.sound for head in event.heads]
    return (
        event.label is not None
        or any(head.label for head in event.heads)
        or any(isinstance(s, Pitch) and s.cents_altered % _QUARTER_TONE for s in sounds)
    )


def label_place(score: Score, index: int) -> str:
    """Where a voice's labels stand: `above` its staff, or `below` it.

    Below for a lower voice, and for a voice alone on the lowest of several staves.
    """
    voice = score.voices[index]
    sharing = [other.name for other in score.voices if other.staff == voice.staff]
    if len(sharing) > 1:
        return "above" if sharing[0] == voice.name else "below"
    is_lowest = voice.staff == len(score.staves) - 1 and len(score.staves) > 1
    return "below" if is_lowest else "above"


def _add_meter(parent: ET.Element, meter: Meter) -> None:
    if meter.symbol is not None:
        sign = "common" if meter.symbol is MeterSymbol.COMMON else "cut"
        attributes = {"sym": sign, "count": str(meter.groups[0]), "unit": str(meter.unit)}
        add(parent, "meterSig", attributes)
        return
    count = "+".join(str(group) for group in meter.groups)
    add(parent, "meterSig", {"count": count, "unit": str(meter.unit)})


def _add_staff(group: ET.Element, score: Score, staff: int) -> None:
    one_line = is_one_line(score, staff)
    definition = add(
        group,
        "staffDef",
        {
            "n": str(staff + 1),
            "lines": "1" if one_line else "5",
            **_transposition(staff_interval(score, staff)),
        },
    )
    _add_names(definition, score, staff)
    clef = _clef_before(score, staff, Fraction(0))
    add_clef(definition, clef)
    key = printed_key(score.key_at(Fraction(0)), staff_interval(score, staff))
    add_signature(definition, key, clef)


def _transposition(interval: Interval | None) -> dict[str, str | None]:
    """From what is written to what sounds; half-steps, which MEI takes whole."""
    if interval is None or interval.cents % 100:
        return {}
    return {"trans.diat": str(-interval.steps), "trans.semi": str(-interval.cents // 100)}


def _add_names(definition: ET.Element, score: Score, staff: int) -> None:
    """The voices as declared, unseen; and before several staves their names in print.

    A keyboard player needs none in print.
    """
    if score.staves[staff].declared:
        definition.set("label", " ".join(score.staves[staff].voices))
    if len(score.staves) < 2 or _is_keyboard(score):
        return
    names = _names(score, staff)
    _write_lines(add(definition, "label"), names)
    _write_lines(add(definition, "labelAbbr"), _short(names))


def _names(score: Score, staff: int) -> list[str]:
    return [name.replace("-", " ").capitalize() for name in score.staves[staff].voices]


def _short(names: list[str]) -> list[str]:
    return [name[0] for name in names]


def _write_lines(label: ET.Element, lines: list[str]) -> None:
    label.text = lines[0]
    for line in lines[1:]:
        add(label, "lb").tail = line
