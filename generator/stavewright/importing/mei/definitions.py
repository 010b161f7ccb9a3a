"""What `scoreDef` and `staffDef` say: staves, names, clefs, keys, metres, transposition."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from stavewright.importing.mei.place import NO_INTERVAL, Reading, StaffState
from stavewright.importing.model import Placed, Signature, StaffPart
from stavewright.importing.pitches import clef_name, interval_of, moved_signature
from stavewright.importing.tree import children, number, whole
from stavewright.notation.clefs import PERCUSSION
from stavewright.theory import Key, Letter, Meter, MeterSymbol, Mode, PitchName

ACCIDENTALS: Final = {
    **{"s": 100, "f": -100, "n": 0, "x": 200, "ss": 200, "ff": -200, "ts": 300, "tf": -300},
    **{"xs": 300, "sx": 300, "nf": -100, "ns": 100, "1qs": 50, "1qf": -50, "3qs": 150, "3qf": -150},
    **{"su": 150, "sd": 50, "fu": -50, "fd": -150, "nu": 50, "nd": -50, "ffd": -250, "xu": 250},
}
"""Cents of MEI's accidentals, written and sounding (MEI 5.1, data.ACCIDENTAL)."""
_SIGNATURE: Final = re.compile(r"(?P<count>\d{1,2})(?P<sign>[sf])")
_SIGNS: Final = {
    "common": Meter((4,), 4, MeterSymbol.COMMON),
    "cut": Meter((2,), 2, MeterSymbol.CUT),
}
_DISPLACED: Final = {"8": 1, "15": 2, "22": 3}
_MODES: Final = {mode.value: mode for mode in Mode}


def define_staves(reading: Reading, score_def: ET.Element) -> list[StaffPart]:
    """Read the opening definition: every staff in order, with its part."""
    found: list[tuple[str, StaffPart]] = []
    for group in score_def.findall("staffGrp"):
        found += _group(reading, group, "")
    for each in score_def.findall("staffDef"):
        found.append((each.get("n", ""), StaffPart(_label(each))))
    for index, (name, _) in enumerate(found):
        reading.staves[name or str(index + 1)] = StaffState(index)
    return [part for _, part in found]


def _group(reading: Reading, group: ET.Element, outer: str) -> Iterator[tuple[str, StaffPart]]:
    label = _label(group) or outer
    own = [child for tag, child in children(group) if tag == "staffDef"]
    is_one = group.get("symbol") == "brace" or any(
        child.get("symbol") == "brace" for child in group.findall("grpSym")
    )
    place = 0
    for tag, child in children(group):
        if tag == "staffGrp":
            yield from _group(reading, child, label)
        elif tag == "staffDef":
            place += 1
            number_ = child.get("n", "")
            if is_one and len(own) > 1:
                yield number_, StaffPart(label or _label(own[0]), place, len(own))
            else:
                yield number_, StaffPart(_label(child) or (label if len(own) == 1 else ""))


def _label(element: ET.Element) -> str:
    """The name in text, else as printed: only the former lists several voices of one staff."""
    child = element.find("label")
    plain = element.get("label") or element.get("label.full")
    if plain or child is None:
        return plain or ""
    words = [child.text or ""]
    for inner in child.iter():
        if inner is not child:
            words += [" " if inner.tag == "lb" else inner.text or "", inner.tail or ""]
    return " ".join("".join(words).split())


def read_definition(reading: Reading, element: ET.Element, at: Fraction) -> None:
    """Take in a `scoreDef` or a `staffDef`, at the start or in between."""
    if element.tag == "staffDef":
        _staff(reading, element, at)
        return
    _meter(reading, element, at)
    for state in reading.staves.values():
        _apply(reading, element, state, at)
    for each in element.iter("staffDef"):
        _staff(reading, each, at)


def _staff(reading: Reading, element: ET.Element, at: Fraction) -> None:
    state = reading.staves.get(element.get("n", ""))
    if state is None:
        return
    _meter(reading, element, at)
    _apply(reading, element, state, at)
    for layer in element.findall("layerDef"):
        state.duration = layer.get("dur.default", state.duration)


def _apply(reading: Reading, element: ET.Element, state: StaffState, at: Fraction) -> None:
    state.duration = element.get("dur.default", state.duration)
    state.octave = (
        whole(element.get("octave.default") or element.get("oct.default")) or state.octave
    )
    state.ticks = number(element.get("ppq")) or state.ticks
    _transpose(element, state)
    _clef(reading, element, state, at)
    _key(reading, element, state, at)


def _transpose(element: ET.Element, state: StaffState) -> None:
    half_steps = number(element.get("trans.semi"))
    letters = whole(element.get("trans.diat"))
    if half_steps is not None:
        state.transposition = interval_of(half_steps, letters) if half_steps else NO_INTERVAL


def _clef(reading: Reading, element: ET.Element, state: StaffState, at: Fraction) -> None:
    child = element.find("clef")
    if child is not None:
        put_clef(reading, child, state, at)
    elif element.get("clef.shape"):
        _put_clef(reading, element, "clef.", state, at)


def put_clef(reading: Reading, clef: ET.Element, state: StaffState, at: Fraction) -> None:
    """A clef stands on a staff from a moment on."""
    _put_clef(reading, clef, "", state, at)


def _put_clef(
    reading: Reading, element: ET.Element, prefix: str, state: StaffState, at: Fraction
) -> None:
    octaves = _DISPLACED.get(element.get(f"{prefix}dis", ""), 0)
    if element.get(f"{prefix}dis.place") == "below":
        octaves = -octaves
    shape = element.get(f"{prefix}shape", "")
    name = clef_name(shape, whole(element.get(f"{prefix}line")), octaves)
    if name is None:
        reading.remains.leave(f"clef of a kind that is not known ({shape})")
        return
    state.clef = name
    if reading.bars:
        reading.bar.clefs.append(Placed(at, name, state.index))


def _key(reading: Reading, element: ET.Element, state: StaffState, at: Fraction) -> None:
    found = _signature(element)
    if found is not None:
        put_key(reading, found, state, at)


def put_key(reading: Reading, key: Signature, state: StaffState, at: Fraction) -> None:
    """A key signature, as written, stands on a staff from a moment on."""
    state.signature = key.fifths
    if state.clef != PERCUSSION and reading.bars:
        sounding = Signature(moved_signature(key.fifths, state.transposition), key.mode)
        reading.bar.keys.append(Placed(at, sounding, state.index))


def _signature(element: ET.Element) -> Signature | None:
    child = element.find("keySig")
    if child is not None:
        return signature_of(child)
    text = element.get("keysig") or element.get("key.sig")
    mode = _MODES.get(element.get("key.mode", ""))
    if text is not None:
        return Signature(_fifths(text) or 0, mode)
    return _by_tonic(element.get("key.pname"), element.get("key.accid"), mode)


def signature_of(element: ET.Element) -> Signature:
    """What a `keySig` says, by its count, its own accidentals, or its tonic."""
    mode = _MODES.get(element.get("mode", ""))
    text = element.get("sig") or element.get("key.sig")
    if text is not None and _fifths(text) is not None:
        return Signature(_fifths(text) or 0, mode)
    signs = [ACCIDENTALS.get(each.get("accid", ""), 0) for each in element.findall("keyAccid")]
    if signs:
        return Signature(sum(signs) // 100, mode)
    return _by_tonic(element.get("pname"), element.get("accid"), mode) or Signature(0, mode)


def _fifths(text: str) -> int | None:
    if text == "0":
        return 0
    match = _SIGNATURE.fullmatch(text)
    if match is None:
        return None
    return int(match["count"]) * (1 if match["sign"] == "s" else -1)


def _by_tonic(letter: str | None, sign: str | None, mode: Mode | None) -> Signature | None:
    name = (letter or "").upper()
    if name not in Letter.__members__:
        return None
    tonic = PitchName(Letter[name], ACCIDENTALS.get(sign or "", 0))
    return Signature(Key(tonic, mode or Mode.MAJOR).signature, mode)


def _meter(reading: Reading, element: ET.Element, at: Fraction) -> None:
    child = element.find("meterSig")
    group = element.find("meterSigGrp")
    if group is not None:
        child = group.find("meterSig")
        reading.remains.leave("meter of several signatures", many="meters of several signatures")
    if child is not None:
        found = meter_of(child.get("count"), child.get("unit"), child.get("sym"))
    else:
        count, unit = element.get("meter.count"), element.get("meter.unit")
        found = meter_of(count, unit, element.get("meter.sym"))
    if found is not None:
        put_meter(reading, found, at)


def put_meter(reading: Reading, meter: Meter, at: Fraction) -> None:
    """A metre holds from a moment on."""
    reading.meter = meter
    if reading.bars:
        reading.bar.meters.append(Placed(at, meter))
        if at == 0:
            reading.bar.meter = meter


def meter_of(count: str | None, unit: str | None, sign: str | None) -> Meter | None:
    """The metre of MEI's count, unit and sign; None for none."""
    known = _SIGNS.get(sign or "")
    if count is None:
        return known
    groups = tuple(whole(part) or 0 for part in count.split("+"))
    lower = whole(unit) or 4
    if known is not None and (known.groups, known.unit) == (groups, lower):
        return known
    try:
        return Meter(groups, lower)
    except ValueError:
        return None
