"""The staves of a score: clefs, names, brackets, and the signatures they begin and go on with."""

from fractions import Fraction
from typing import Final

from stavewright.figures.mei.drums import is_one_line
from stavewright.figures.mei.markup import Attributes, attributes, element, escaped
from stavewright.figures.mei.segments import Segment, meter_at
from stavewright.figures.mei.signatures import clef_element, printed_key, signature_element
from stavewright.notation.score import Event, Score, Staff
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key
from stavewright.theory.meter import Meter, MeterSymbol
from stavewright.theory.pitch import Pitch

_HANDS: Final = frozenset({"right", "left", "right-hand", "left-hand", "rh", "lh"})


_QUARTER_TONE: Final = 50
"""Cents."""


def has_names(score: Score) -> bool:
    """Whether the voices have their names in print: a keyboard player needs none."""
    return len(score.staves) > 1 and not _is_keyboard(score)


def score_definition(score: Score, *, short: bool = False) -> str:
    """The definition of all staves as they begin, their names in full or `short`."""
    meter = meter_at(score, Fraction(0))
    staves = "".join(
        _staff_definition(score, staff, short=short) for staff in range(len(score.staves))
    )
    given = {"symbol": _symbol(score), "bar.thru": "true" if _joins_bars(score) else None}
    inside = _meter(meter) + element("staffGrp", attributes(given), staves)
    return element("scoreDef", attributes({"mnum.visible": "true"}), inside)


def changes_element(score: Score, segment: Segment) -> str:
    """The signatures that change where a segment begins; nothing where none does."""
    key = next((c.key for c in score.key_changes if c.at == segment.start), None)
    meter = next((c.meter for c in score.meter_changes if c.at == segment.start), None)
    if key is None:
        return element("scoreDef", inside=_meter(meter)) if meter is not None else ""
    if _differ(score):
        by_staff = _keys_by_staff(score, segment.start, key)
        return element("scoreDef", inside=_meter(meter) + by_staff)
    before = _key_before(score, segment.start)
    interval = staff_interval(score, 0)
    was, now = printed_key(before, interval), printed_key(key, interval)
    signature = signature_element(now, _first_pitched_clef(score), was)
    return element("scoreDef", inside=signature + _meter(meter))


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


def _keys_by_staff(score: Score, at: Fraction, key: Key) -> str:
    before = _key_before(score, at)
    definitions = ""
    for staff in range(len(score.staves)):
        interval = staff_interval(score, staff)
        was, now = printed_key(before, interval), printed_key(key, interval)
        signature = signature_element(now, clef_at(score, staff, at), was)
        definitions += element("staffDef", f' n="{staff + 1}"', signature)
    return element("staffGrp", inside=definitions)


def _key_before(score: Score, at: Fraction) -> Key | None:
    earlier = [change.key for change in score.key_changes if change.at < at]
    return earlier[-1] if earlier else score.key


def clef_at(score: Score, staff: int, time: Fraction) -> str:
    """The clef in force on a staff at a time."""
    changes = [c.clef for c in score.clef_changes if c.staff == staff and c.at <= time]
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


def _meter(meter: Meter | None) -> str:
    if meter is None:
        return ""
    if meter.symbol is not None:
        sign = "common" if meter.symbol is MeterSymbol.COMMON else "cut"
        given = {"sym": sign, "count": str(meter.groups[0]), "unit": str(meter.unit)}
    else:
        given = {"count": "+".join(map(str, meter.groups)), "unit": str(meter.unit)}
    return element("meterSig", attributes(given))


def _staff_definition(score: Score, staff: int, *, short: bool) -> str:
    """One staff as it begins; `label` names the voices as declared, unseen."""
    interval = staff_interval(score, staff)
    row = score.staves[staff]
    given = {
        "n": str(staff + 1),
        "lines": "1" if is_one_line(score, staff) else "5",
        **_transposition(interval),
        "label": " ".join(row.voices) if row.declared else None,
    }
    names = _names(row, short=short) if has_names(score) else ""
    clef = clef_at(score, staff, Fraction(0))
    key = printed_key(score.key_at(Fraction(0)), interval)
    inside = names + clef_element(clef) + signature_element(key, clef)
    return element("staffDef", attributes(given), inside)


def _transposition(interval: Interval | None) -> Attributes:
    """From what is written to what sounds; half-steps, which MEI takes whole."""
    if interval is None or interval.cents % 100:
        return {}
    return {"trans.diat": str(-interval.steps), "trans.semi": str(-interval.cents // 100)}


def _names(row: Staff, *, short: bool) -> str:
    """The names of voices before a staff, for its first line and for those after it."""
    names = [name.replace("-", " ").capitalize() for name in row.voices]
    initials = [name[0] for name in names]
    first = element("label", inside=_lines(initials if short else names))
    return first + element("labelAbbr", inside=_lines(initials))


def _lines(lines: list[str]) -> str:
    return element("lb").join(map(escaped, lines))
