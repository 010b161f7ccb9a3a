"""Keys, metres, clefs, divisions and transposition."""

import xml.etree.ElementTree as ET
from fractions import Fraction
from math import lcm
from typing import Final

from stavewright.importing.model import Placed, Signature
from stavewright.importing.musicxml.place import PartState
from stavewright.importing.pitches import clef_name, interval_of, moved_signature
from stavewright.importing.tree import children, number, said, whole
from stavewright.theory import Meter, MeterSymbol, Mode

_MODES: Final = {mode.value: mode for mode in Mode}
_SYMBOLS: Final = {"common": ((4,), 4), "cut": ((2,), 2)}
_MOST_FIFTHS: Final = 14


def read_attributes(state: PartState, element: ET.Element) -> None:
    """Take in everything of an `attributes` element, the transposition first."""
    for place in element.findall("transpose"):
        _transpose(state, place)
    for tag, child in children(element):
        if tag == "divisions":
            value = number(child.text)
            state.divisions = value if value and value > 0 else state.divisions
        elif tag in _READERS:
            _READERS[tag](state, child)


def _transpose(state: PartState, element: ET.Element) -> None:
    octaves = whole(said(element, "octave-change")) or 0
    half_steps = number(said(element, "chromatic")) or Fraction(0)
    letters = whole(said(element, "diatonic"))
    interval = interval_of(
        half_steps + 12 * octaves, None if letters is None else letters + 7 * octaves
    )
    state.transpositions[whole(element.get("number")) or 0] = interval
    if element.find("double") is not None:
        state.remains.leave("part doubled at the octave", many="parts doubled at the octave")


def _key(state: PartState, element: ET.Element) -> None:
    fifths = whole(said(element, "fifths"))
    if fifths is None or abs(fifths) > _MOST_FIFTHS:
        state.remains.leave(
            "key signature of its own making", many="key signatures of their own making"
        )
        return
    place = whole(element.get("number"))
    mode = _MODES.get(said(element, "mode").lower())
    sounding = moved_signature(fifths, state.transposition(place or 1))
    staff = state.staff(place)
    if not _is_percussion(state):
        state.bar.keys.append(Placed(state.now, Signature(sounding, mode), staff))


def _is_percussion(state: PartState) -> bool:
    return bool(state.instruments)


def _time(state: PartState, element: ET.Element) -> None:
    if element.find("senza-misura") is not None:
        state.bar.meters.append(Placed(state.now, None))
        return
    found = _meter(element)
    if found is None:
        state.remains.leave(
            "time signature that a bar cannot be counted by",
            many="time signatures that bars cannot be counted by",
        )
        return
    state.bar.meters.append(Placed(state.now, found))


def _meter(element: ET.Element) -> Meter | None:
    """The metre; several fractions side by side are added up."""
    pairs: list[tuple[list[int], int]] = []
    tops = [said(each) for each in element.findall("beats")]
    units = [whole(said(each)) for each in element.findall("beat-type")]
    for top, unit in zip(tops, units, strict=False):
        counts = [whole(part) or 0 for part in top.split("+")]
        if not unit or unit < 1 or min(counts) < 1:
            return None
        pairs.append((counts, unit))
    if not pairs:
        return None
    common = lcm(*(unit for _, unit in pairs))
    groups = tuple(count * common // unit for counts, unit in pairs for count in counts)
    symbol = element.get("symbol", "")
    known = _SYMBOLS.get(symbol) == (groups, common)
    try:
        return Meter(groups, common, MeterSymbol(symbol) if known else None)
    except ValueError:
        return None


def _clef(state: PartState, element: ET.Element) -> None:
    sign = said(element, "sign")
    octaves = whole(said(element, "clef-octave-change")) or 0
    name = clef_name(sign, whole(said(element, "line")), octaves)
    if name is None:
        state.remains.leave(
            f"clef of a kind that is not known ({sign or 'no sign'})",
            many=f"clefs of a kind that is not known ({sign or 'no sign'})",
        )
        return
    state.bar.clefs.append(Placed(state.now, name, state.staff(whole(element.get("number")))))


def _style(state: PartState, element: ET.Element) -> None:
    for tag, child in children(element):
        if tag == "measure-repeat":
            state.bar.repeats_before = child.get("type") == "start"
        elif tag in ("slash", "beat-repeat") and child.get("type") == "start":
            state.remains.leave("passage in slashes", many="passages in slashes")


_READERS: Final = {"key": _key, "time": _time, "clef": _clef, "measure-style": _style}
