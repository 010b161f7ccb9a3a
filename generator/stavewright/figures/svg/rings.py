"""A ring round each emphasised note head: colour alone must not carry the emphasis."""

import re
import xml.etree.ElementTree as ET

_PLACE = re.compile(r"translate\((-?[\d.]+), (-?[\d.]+)\) scale\((-?[\d.]+)")
_HEAD_WIDTHS = {"E0A0": 660, "E0A2": 420, "E0A3": 314, "E0A4": 314}
"""In thousandths of an em, from the engraver's font; other heads are about as wide as a quarter."""
_USUAL_WIDTH = 300
_CLEARANCE = 76
"""From the head to the ring, in drawing units: four tenths of a staff space."""
_HALF_SPACE = 90
_FULL_SCALE = 0.72
"""Of the glyphs of full-sized notes; grace notes are smaller."""
EMPHASISED = "hl"
"""The class that the MEI gives, see `mei.layers.HIGHLIGHT`."""

_Box = tuple[float, float, float, float]


def ring_emphasised(root: ET.Element) -> None:
    """Add the rings. They take no room, so that emphasis never moves a note.

    A chord that is emphasised as a whole gets one ring round all its heads.
    """
    ringed: set[ET.Element] = set()
    for chord in _of_class(root, "chord"):
        notes = _of_class(chord, "note")
        if len(notes) > 1 and all(_is_emphasised(note) for note in notes):
            ringed.update(notes)
            _ring(chord, [box for note in notes if (box := _box(note))])
    for note in _of_class(root, "note"):
        if _is_emphasised(note) and note not in ringed:
            _ring(note, [box for box in (_box(note),) if box])


def _of_class(root: ET.Element, name: str) -> list[ET.Element]:
    return [g for g in root.iter("g") if name in (g.get("class") or "").split()]


def _is_emphasised(note: ET.Element) -> bool:
    return EMPHASISED in (note.get("class") or "").split()


def _box(note: ET.Element) -> _Box | None:
    """The box of a note's head: left, top, right, bottom."""
    for head in _of_class(note, "notehead"):
        glyph = head.find("use")
        place = _PLACE.match(glyph.get("transform", "")) if glyph is not None else None
        if glyph is None or place is None:
            continue
        x, y, scale = (float(number) for number in place.groups())
        width = _HEAD_WIDTHS.get(glyph.get("href", "")[1:5], _USUAL_WIDTH) * scale
        half = _HALF_SPACE * scale / _FULL_SCALE
        return x, y - half, x + width, y + half
    return None


def _ring(parent: ET.Element, boxes: list[_Box]) -> None:
    if not boxes:
        return
    left = min(box[0] for box in boxes) - _CLEARANCE
    top = min(box[1] for box in boxes) - _CLEARANCE
    width = max(box[2] for box in boxes) + _CLEARANCE - left
    height = max(box[3] for box in boxes) + _CLEARANCE - top
    shape = {
        "class": "ring",
        "x": f"{left:.0f}",
        "y": f"{top:.0f}",
        "width": f"{width:.0f}",
        "height": f"{height:.0f}",
        "rx": f"{min(width, height) / 2:.0f}",
        "fill": "none",
        "stroke-width": "26",
    }
    parent.append(ET.Element("rect", shape))
