"""What hangs on notes from outside: ties, slurs, signs, dynamics, tempos, symbols."""

import re
import xml.etree.ElementTree as ET
from fractions import Fraction
from typing import Final

from stavewright.importing.draft import Draft
from stavewright.importing.mei.place import DURATIONS, Bar, Reading, reference
from stavewright.importing.model import Placed
from stavewright.importing.symbols import (
    figures_text,
    local_key,
    numeral_text,
    put_numeral,
    read_chord,
)
from stavewright.importing.tree import number, said, whole
from stavewright.notation.limits import FASTEST_TEMPO
from stavewright.notation.score import Drum, EventMark, Silence, Tempo
from stavewright.notation.values import show_value
from stavewright.notation.vocabulary import DYNAMICS
from stavewright.theory import Interval

_STAMP: Final = re.compile(r"(?:(?P<bars>\d{1,3})m\s*\+\s*)?(?P<beat>\d{1,4}(?:\.\d{1,9})?)")
_MARKS: Final = {
    "fermata": EventMark.FERMATA,
    "trill": EventMark.TRILL,
    "arpeg": EventMark.ARPEGGIO,
}
_FORMED: Final = {
    ("turn", "lower"): "inverted turn",
    ("mordent", "upper"): "inverted mordent",
}
_FORMS: Final = {"turn": EventMark.TURN, "mordent": EventMark.MORDENT}
_QUIET: Final = (
    *("staff", "tupletSpan", "beamSpan", "annot", "sb", "pb", "mNum", "facsimile", "lb", "fig"),
)
_WORDS: Final = {
    "dir": ("direction in words", "directions in words"),
    "reh": ("rehearsal mark", ""),
    "fing": ("fingering", ""),
    "breath": ("breath mark", ""),
    "gliss": ("glissando", "glissandi"),
    "lv": ("tie that rings on", "ties that ring on"),
    "anchoredText": ("text over the staff", "texts over the staff"),
    "bracketSpan": ("bracketed line", ""),
    "repeatMark": ("sign for a jump", "signs for jumps"),
    "pedal": ("pedal sign", ""),
    "cpMark": ("sign for copying", "signs for copying"),
}
_NOTES: Final = {
    "\U0001d15d": Fraction(1),
    "\U0001d15e": Fraction(1, 2),
    "♩": Fraction(1, 4),
    "\U0001d15f": Fraction(1, 4),
    "♪": Fraction(1, 8),
    "\U0001d160": Fraction(1, 8),
    "\U0001d161": Fraction(1, 16),
    "\ueca3": Fraction(1, 2),
    "\ueca5": Fraction(1, 4),
    "\ueca7": Fraction(1, 8),
}
"""Notes of Unicode, and of the music fonts' private area (SMuFL 1.4, metronome marks)."""
_MARKED: Final = re.compile(
    r"(?P<note>["
    + "".join(_NOTES)
    + r"])\s*(?P<dots>[.\ueca8·]*)\s*=\s*(?P<count>\d{1,4}(?:\.\d+)?)"
)
_SWUNG: Final = re.compile(r"swing (?P<note>[" + "".join(_NOTES) + r"]) (?P<ratio>\d{1,2}:\d{1,2})")
"""As our own engraving says it."""
_LONGEST_SIGN: Final = 5


def read_control(reading: Reading, tag: str, element: ET.Element) -> None:
    """One element of a measure that is no staff."""
    if tag in ("tie", "slur", "phrase"):
        return  # paired when all notes are known
    if tag == "octave":
        return
    if tag in _MARKS or tag in _FORMS:
        _mark(reading, tag, element)
    elif tag == "dynam":
        _dynamic(reading, element)
    elif tag == "tempo":
        _tempo(reading, element)
    elif tag == "harm":
        _harm(reading, element)
    elif tag not in _QUIET:
        one, many = _WORDS.get(tag, (tag, ""))
        reading.remains.leave(one, _staff_of(reading, element), many=many)


def _staff_of(reading: Reading, element: ET.Element) -> int | None:
    name = (element.get("staff") or "").split(" ")[0]
    state = reading.staves.get(name)
    if state is not None:
        return state.index
    target = reading.events.get(reference(element, "startid"))
    return target[0].staff if target is not None else None


def moment_of(reading: Reading, element: ET.Element, bar: Bar) -> Fraction:
    """The moment in its bar at which an element stands."""
    target = reading.events.get(reference(element, "startid"))
    if target is not None and target[1] == bar.index:
        return target[0].at
    stamp = number(element.get("tstamp"))
    return bar.moment(stamp) if stamp is not None else Fraction(0)


def _target(reading: Reading, element: ET.Element, name: str = "startid") -> Draft | None:
    """The sound an element hangs on."""
    known = reading.events.get(reference(element, name) or reference(element, "plist"))
    if known is not None:
        return known[0]
    if element.get(name) or element.get("tstamp") is None:
        return None
    at = moment_of(reading, element, reading.bar)
    return draft_at(reading, element, reading.bar, at)


def draft_at(reading: Reading, element: ET.Element, bar: Bar, at: Fraction) -> Draft | None:
    """The sound of the element's staff that stands at a moment, or the next one."""
    staff = _staff_of(reading, element)
    layer = element.get("layer", "")
    found = [
        draft
        for draft in bar.drafts
        if draft.silence is not Silence.SPACE and draft.at >= at and staff in (None, draft.staff)
    ]
    found.sort(
        key=lambda each: (
            each.at,
            bool(layer) and not each.voice.endswith(f".{layer}"),
            not each.tones,
        )
    )
    return found[0] if found else None


def _mark(reading: Reading, tag: str, element: ET.Element) -> None:
    formed = _FORMED.get((tag, element.get("form", "")))
    if formed is not None:
        reading.remains.leave(formed, _staff_of(reading, element))
        return
    if tag == "arpeg" and element.get("order") in ("down", "nonarp"):
        staff = _staff_of(reading, element)
        reading.remains.leave("arpeggio downwards", staff, many="arpeggios downwards")
        return
    target = _target(reading, element)
    if target is not None and (target.tones or tag == "fermata"):
        target.marks.add(_MARKS.get(tag) or _FORMS[tag])
    else:
        words = f"{tag} between notes"
        many = f"{tag}s between notes"
        reading.remains.leave(words, _staff_of(reading, element), many=many)


def _dynamic(reading: Reading, element: ET.Element) -> None:
    text = said(element)
    target = _target(reading, element)
    if text not in DYNAMICS:
        sign = f" {text}" if len(text) <= _LONGEST_SIGN else " in words"
        staff = _staff_of(reading, element)
        reading.remains.leave(f"dynamic{sign}", staff, many=f"dynamics{sign}")
    elif target is None or target.dynamic not in (None, text):
        words = f"dynamic {text} between notes"
        many = f"dynamics {text} between notes"
        reading.remains.leave(words, _staff_of(reading, element), many=many)
    else:
        target.dynamic = text


def _tempo(reading: Reading, element: ET.Element) -> None:
    at = moment_of(reading, element, reading.bar)
    count = number(element.get("mm"))
    unit = DURATIONS.get(element.get("mm.unit", ""))
    dots = whole(element.get("mm.dots")) or 0
    match = _MARKED.search(said(element))
    swung = _SWUNG.search(said(element))
    if swung is not None and reading.swing is None:
        reading.swing = f"{show_value(_NOTES[swung['note']])} {swung['ratio']}"
    if (count is None or unit is None) and match is not None:
        count, unit, dots = number(match["count"]), _NOTES[match["note"]], len(match["dots"])
    if count is not None and unit is not None and 0 < count <= FASTEST_TEMPO:
        value = unit * (2 - Fraction(1, 2 ** min(dots, 3)))
        reading.bar.tempos.append(Placed(at, Tempo(value, count)))
        return
    played = number(element.get("midi.bpm"))
    if played is not None and 0 < played <= FASTEST_TEMPO:
        reading.bar.playback.append(Placed(at, Tempo(Fraction(1, 4), played)))
    if said(element) and swung is None:
        reading.remains.leave("direction in words", many="directions in words")


def _harm(reading: Reading, element: ET.Element) -> None:
    """A chord symbol, a numeral, figures of a bass, or some other text."""
    at = moment_of(reading, element, reading.bar)
    figures = element.find("fb")
    if figures is not None:
        text = figures_text([said(each) for each in figures.findall("f")])
        if text is not None:
            reading.bar.figures.append(Placed(at, text))
            end = _place(reading, reading.bar, element.get("tstamp2"))
            if end is not None and end[0] is reading.bar and end[1] > at:
                reading.bar.figures.append(Placed(end[1], ""))
        else:
            one = "figure of a bass that is not understood"
            reading.remains.leave(one, many="figures of a bass that are not understood")
        return
    words, key = local_key(said(element))
    chord = read_chord(words)
    numeral = numeral_text(words) if chord is None else None
    if chord is not None:
        reading.bar.chords.append(Placed(at, chord))
    elif numeral is not None:
        put_numeral(reading.bar.numerals, at, numeral, key)
    else:
        reading.remains.leave(
            "text of harmony that is not understood",
            many="texts of harmony that are not understood",
        )


def pair_ends(reading: Reading, bar: Bar, tag: str, element: ET.Element, name: str) -> None:
    """Join the ends of a tie or a slur, in any bars; needs all notes."""
    reading.remains.bar = bar.index
    first = _end(reading, bar, element, "startid", "tstamp")
    last = _end(reading, bar, element, "endid", "tstamp2")
    start_name = reference(element, "startid")
    if tag == "tie":
        if start_name in reading.tones:
            reading.tones[start_name].tied = True
        elif first is not None:
            for tone in first.tones:
                tone.tied = True
        return
    if start_name in reading.graces or reference(element, "endid") in reading.graces:
        reading.remains.leave("slur from a grace note", many="slurs from grace notes")
        return
    if first is not None:
        first.slurs_from.add(name)
    if last is not None:
        last.slurs_to.add(name)


def _end(reading: Reading, bar: Bar, element: ET.Element, id_: str, stamp: str) -> Draft | None:
    known = reading.events.get(reference(element, id_))
    if known is not None:
        return known[0]
    place = _place(reading, bar, element.get(stamp))
    return draft_at(reading, element, *place) if place is not None else None


def _place(reading: Reading, bar: Bar, stamp: str | None) -> tuple[Bar, Fraction] | None:
    match = _STAMP.fullmatch((stamp or "").strip())
    if match is None:
        return None
    index = bar.index + int(match["bars"] or 0)
    if index >= len(reading.bars):
        return None
    there = reading.bars[index]
    return there, there.moment(Fraction(match["beat"]))


def shift_octaves(reading: Reading, bar: Bar, element: ET.Element) -> None:
    """Notes under an 8 that say only where they are written sound an octave away."""
    octaves = {"8": 1, "15": 2, "22": 3}.get(element.get("dis", ""), 0)
    octaves *= -1 if element.get("dis.place") == "below" else 1
    first = reading.events.get(reference(element, "startid"))
    last = reading.events.get(reference(element, "endid"))
    start = (first[1], first[0].at) if first else _key(_place(reading, bar, element.get("tstamp")))
    stop = (last[1], last[0].at) if last else _key(_place(reading, bar, element.get("tstamp2")))
    staff = _staff_of(reading, element)
    if start is None or stop is None or not octaves:
        return
    for each in reading.bars[start[0] : stop[0] + 1]:
        for draft in each.drafts:
            if draft.staff == staff and start <= (each.index, draft.at) <= stop:
                _shift(reading, draft, octaves)


def _key(place: tuple[Bar, Fraction] | None) -> tuple[int, Fraction] | None:
    return None if place is None else (place[0].index, place[1])


def _shift(reading: Reading, draft: Draft, octaves: int) -> None:
    for tone in draft.tones:
        if id(tone) not in reading.sounding_octaves and not isinstance(tone.sound, Drum):
            tone.sound = tone.sound + Interval(7 * octaves, 1200 * octaves)
