"""Directions over and under the staves, sounds, and bar lines."""

import re
import xml.etree.ElementTree as ET
from fractions import Fraction
from typing import Final

from stavewright.importing.model import Placed
from stavewright.importing.musicxml.place import PartState
from stavewright.importing.symbols import local_key, numeral_text, put_numeral
from stavewright.importing.tree import children, number, said, whole
from stavewright.notation.limits import FASTEST_TEMPO, MOST_PASSES
from stavewright.notation.score import BarSign, Tempo
from stavewright.notation.values import show_value
from stavewright.notation.vocabulary import DYNAMICS

VALUES: Final = {
    "long": Fraction(4),
    "breve": Fraction(2),
    "whole": Fraction(1),
    "half": Fraction(1, 2),
    "quarter": Fraction(1, 4),
    "eighth": Fraction(1, 8),
    "16th": Fraction(1, 16),
    "32nd": Fraction(1, 32),
    "64th": Fraction(1, 64),
    "128th": Fraction(1, 128),
    "256th": Fraction(1, 256),
    "512th": Fraction(1, 512),
    "1024th": Fraction(1, 1024),
}
_WORDS: Final = {
    "wedge": "hairpin",
    "octave-shift": "ottava sign (the notes stand where they sound)",
    "pedal": "pedal sign",
    "dashes": "dashed line",
    "bracket": "bracketed line",
    "rehearsal": "rehearsal mark",
    "segno": "segno",
    "coda": "coda sign",
    "words": "direction in words",
    "metronome": "metronome mark without a number",
}
_MANY: Final = {
    "octave-shift": "ottava signs (the notes stand where they sound)",
    "words": "directions in words",
    "metronome": "metronome marks without a number",
    "segno": "segni",
}
_JUMPS: Final = ("dacapo", "dalsegno", "tocoda", "fine", "coda", "segno")
_BARS: Final = {
    "light-light": BarSign.DOUBLE,
    "light-heavy": BarSign.FINAL,
    "heavy-light": BarSign.DOUBLE,
    "heavy-heavy": BarSign.DOUBLE,
    "heavy": BarSign.DOUBLE,
}
_PLAIN_BARS: Final = ("", "regular", "none", "light-light", "light-heavy", "heavy-light")


def read_direction(state: PartState, element: ET.Element) -> None:
    """One `direction`, with all the types it holds."""
    offset = number(said(element, "offset")) or Fraction(0)
    at = max(Fraction(0), state.now + state.length(offset))
    staff = state.staff(whole(said(element, "staff")))
    has_mark = False
    for kind in element.findall("direction-type"):
        for tag, child in children(kind):
            if tag == "metronome":
                has_mark |= _metronome(state, child, at)
            elif tag == "dynamics":
                read_dynamics(state, child, at, staff, said(element, "voice"))
            elif tag == "words":
                _words(state, child, element, at, staff)
            elif child.get("type") not in ("stop", "continue"):
                leave(state, tag, staff)
    sound = element.find("sound")
    if sound is not None:
        read_sound(state, sound, at, marked=has_mark)


def leave(state: PartState, tag: str, staff: int | None = None) -> None:
    """Note something that is not carried over, by the name the trade has for it."""
    words = _WORDS.get(tag, tag.replace("-", " "))
    state.remains.leave(words, staff, many=_MANY.get(tag, ""))


def read_dynamics(
    state: PartState, element: ET.Element, at: Fraction, staff: int, voice: str
) -> None:
    """How loud, as far as a block has a sign for it."""
    for tag, child in children(element):
        text = said(child) if tag == "other-dynamics" else tag
        if text in DYNAMICS:
            state.bar.dynamics.append((Placed(at, text, staff), voice))
        else:
            state.remains.leave(f"dynamic {text}", staff, many=f"dynamics {text}")


def _words(
    state: PartState, child: ET.Element, direction: ET.Element, at: Fraction, staff: int
) -> None:
    text = said(child)
    words, key = local_key(text)
    numeral = numeral_text(words) if direction.get("placement") == "below" else None
    if numeral is not None:
        put_numeral(state.bar.numerals, at, numeral, key)
    elif text:
        leave(state, "words", staff)


def _metronome(state: PartState, element: ET.Element, at: Fraction) -> bool:
    unit = VALUES.get(said(element, "beat-unit"))
    count = number(said(element, "per-minute"))
    units = len(element.findall("beat-unit"))
    dots = len(element.findall("beat-unit-dot"))
    if unit is None or units != 1 or dots > 3 or not _is_tempo(count):
        leave(state, "metronome")
        return False
    value = unit * (2 - Fraction(1, 2**dots))
    state.bar.tempos.append(Placed(at, Tempo(value, count or Fraction(0))))
    return True


def _is_tempo(count: Fraction | None) -> bool:
    return count is not None and 0 < count <= FASTEST_TEMPO


def _swing(state: PartState, element: ET.Element) -> None:
    """Pairs played long to short; `straight` says nothing."""
    first, second = (whole(said(element, tag)) for tag in ("first", "second"))
    unit = VALUES.get(said(element, "swing-type") or "eighth")
    if first and second and unit is not None and first != second and state.swing is None:
        state.swing = f"{show_value(unit)} {first}:{second}"


def read_sound(
    state: PartState, element: ET.Element, at: Fraction, *, marked: bool = False
) -> None:
    """Playback: a tempo counts where no mark is printed; jumps are left."""
    tempo = number(element.get("tempo"))
    if tempo is not None and not marked and _is_tempo(tempo):
        rounded = Fraction(round(tempo * 1000), 1000)
        state.bar.playback.append(Placed(at, Tempo(Fraction(1, 4), rounded)))
    swing = element.find("swing")
    if swing is not None:
        _swing(state, swing)
    for jump in _JUMPS:
        if element.get(jump):
            state.remains.leave(f"jump ({jump})", many=f"jumps ({jump})")


def read_barline(state: PartState, element: ET.Element) -> None:
    """A bar line with its repeat and its ending."""
    bar = state.bar
    style = said(element, "bar-style")
    is_left = element.get("location") == "left"
    _ending(state, element.find("ending"))
    for tag, _ in children(element):
        if tag in ("fermata", "segno", "coda", "wavy-line"):
            state.remains.leave(
                f"{tag.replace('-', ' ')} on a bar line",
                many=f"{tag.replace('-', ' ')} signs on bar lines",
            )
    repeat = element.find("repeat")
    if element.get("location") == "middle":
        state.remains.leave("bar line inside a bar", many="bar lines inside bars")
        return
    if repeat is not None:
        _repeat(state, repeat)
        return
    if style not in _PLAIN_BARS:
        state.remains.leave(f"{style} bar line")
    if not is_left:
        bar.closing = _BARS.get(style, bar.closing)
        bar.invisible = style == "none"


def _repeat(state: PartState, element: ET.Element) -> None:
    if element.get("direction") == "forward":
        state.bar.opens_repeat = True
        return
    state.bar.closing = BarSign.REPEAT_END
    if (whole(element.get("times")) or 2) > 2:
        state.remains.leave("repeat of more than two times", many="repeats of more than two times")


def _ending(state: PartState, element: ET.Element | None) -> None:
    if element is None:
        return
    kind = element.get("type")
    if kind == "start":
        found = [int(each) for each in re.findall(r"\d{1,3}", element.get("number") or "")]
        passes = tuple(sorted({each for each in found if 1 <= each <= MOST_PASSES}))
        if not passes:
            state.remains.leave("ending without a number", many="endings without a number")
        state.ending = passes
        state.bar.ending, state.bar.ending_starts = passes, bool(passes)
    elif kind in ("stop", "discontinue"):
        state.bar.ending = state.ending
        state.ending = ()
