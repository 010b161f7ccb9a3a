"""A ring round each emphasised note head: colour alone must not carry the emphasis."""

import re
import xml.etree.ElementTree as ET

_SVG = "{http://www.w3.org/2000/svg}"
_PLACE = re.compile(r"translate\((-?[\d.]+), (-?[\d.]+)\) scale\((-?[\d.]+)")
_HEAD_WIDTHS = {"E0A0": 660, "E0A2": 420, "E0A3": 314, "E0A4": 314}
"""In thousandths of an em, from the engraver's font; other heads are about as wide as a quarter."""
_USUAL_WIDTH = 300
_CLEARANCE = 62
"""From the head to the ring, in drawing units: a third of a staff space."""
_HALF_SPACE = 90


def ring_emphasised(root: ET.Element) -> None:
    """Add the rings. They take no room, so that emphasis never moves a note."""
    for note in root.iter(_SVG + "g"):
        classes = (note.get("class") or "").split()
        if "hl" not in classes or "note" not in classes:
            continue
        for head in note.findall(_SVG + "g"):
            if head.get("class") == "notehead":
                _ring(note, head)


def _ring(note: ET.Element, head: ET.Element) -> None:
    glyph = head.find(_SVG + "use")
    if glyph is None:
        return
    place = _PLACE.match(glyph.get("transform", ""))
    if place is None:
        return
    x, y, scale = (float(number) for number in place.groups())
    code = glyph.get("href", "")[1:5]
    width = _HEAD_WIDTHS.get(code, _USUAL_WIDTH) * scale
    note.append(
        ET.Element(
            _SVG + "ellipse",
            {
                "class": "ring",
                "cx": f"{x + width / 2:.0f}",
                "cy": f"{y:.0f}",
                "rx": f"{width / 2 + _CLEARANCE:.0f}",
                "ry": f"{_HALF_SPACE * scale / 0.72 + _CLEARANCE:.0f}",
                "fill": "none",
                "stroke-width": "26",
            },
        )
    )
