"""The number of a tuplet inside another, moved off the notes that the engraver prints it over."""

import re
import xml.etree.ElementTree as ET
from typing import Final

_PLACE: Final = re.compile(r"translate\((-?[\d.]+), (-?[\d.]+)\)")
_STEM: Final = re.compile(r"M(-?[\d.]+) (-?[\d.]+) L(-?[\d.]+) (-?[\d.]+)")
_ABOVE, _BELOW = -160, 370
"""From the outermost head to the number's baseline, in drawing units."""


def clear_inner_numbers(root: ET.Element) -> None:
    """Put each inner number on the side of the heads; its outer one keeps the other side."""
    for outer in _of_class(root, "tuplet"):
        for inner in _of_class(outer, "tuplet"):
            if inner is not outer:
                _clear(inner)


def _of_class(parent: ET.Element, name: str) -> list[ET.Element]:
    return [g for g in parent.iter("g") if name in (g.get("class") or "").split()]


def _clear(tuplet: ET.Element) -> None:
    heads = [
        float(place[2])
        for head in _of_class(tuplet, "notehead")
        for glyph in head.iter("use")
        if (place := _PLACE.match(glyph.get("transform", "")))
    ]
    if not heads:
        return
    target = min(heads) + _ABOVE if _stems_down(tuplet) else max(heads) + _BELOW
    for number in tuplet.findall("g"):
        if number.get("class") == "tupletNum":
            for glyph in number.iter("use"):
                glyph.set("transform", _at_height(glyph.get("transform", ""), target))
        elif number.get("class") == "tupletBracket":
            tuplet.remove(number)


def _at_height(transform: str, y: float) -> str:
    return _PLACE.sub(lambda place: f"translate({place[1]}, {y:.0f})", transform)


def _stems_down(tuplet: ET.Element) -> bool:
    for stem in _of_class(tuplet, "stem"):
        for path in stem.iter("path"):
            ends = _STEM.match(path.get("d", ""))
            if ends is not None:
                return float(ends[4]) > float(ends[2])
    return True
