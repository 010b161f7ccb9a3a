"""One picture: a drawing in its frame, in the author's colours, with what is lit marked.

What is lit changes its colour, grows a little heavier as in the page, and stands in a soft halo of
its own shape, so that it can be told without colour too.
"""

import base64
import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Final

from stavewright.figures.figure import Drawing
from stavewright.figures.fonts import (
    SANS,
    SANS_BOLD,
    SANS_REGULAR,
    SERIF,
    SERIF_BOLD,
    SERIF_ITALIC,
    SERIF_REGULAR,
)
from stavewright.figures.signs import FAMILY, TTF
from stavewright.figures.stills.frame import Frame, Place
from stavewright.figures.svg.alone import standalone

NAMESPACE: Final = "http://www.w3.org/2000/svg"
_SVG: Final = f"{{{NAMESPACE}}}"
_OPENING: Final = re.compile(r"<svg\b[^>]*>")
_REPLACED: Final = re.compile(r' (?:width|height|x|y|class|overflow|font-family)="[^"]*"')
_ENGRAVED: Final = 'class="engraved"'
_SCALE: Final = re.compile(r"scale\(\s*(-?[\d.]+)")
_TEXT: Final = _SVG + "text"
_USE: Final = _SVG + "use"
_SHAPES: Final = {
    _SVG + name
    for name in ("path", "use", "rect", "circle", "ellipse", "polygon", "polyline", "line", "text")
}
_HALO: Final = 5.0
"""Pixels of the drawing's natural size, on each side."""
_HALO_OF_TEXT: Final = 3.5
_PALE: Final = "0.5"
"""How solid a halo is; seen over a white page and over a black one."""
_HEAVIER: Final = 1.4
"""Pixels of the drawing's natural size, as in the page."""
_HEAVIER_TEXT: Final = 0.3
"""Letters that were as much heavier would fill up."""
_NOT_IN_HALO: Final = (
    "data-id",
    "data-key",
    "data-class",
    "opacity",
    "fill-opacity",
    "stroke-dasharray",
)
_FLAGS: Final = "#E24"
"""How the names of flags begin (SMuFL)."""


@dataclass(frozen=True, slots=True)
class Look:
    """Colours, each as CSS writes it."""

    ink: str = "black"
    background: str | None = None
    """None for none: what is not drawn is transparent."""
    light: str = "#d9480f"
    """Of notes that are lit; seen well on white and on black."""


def still(
    drawing: Drawing,
    frame: Frame,
    look: Look,
    lit: frozenset[str] = frozenset(),
    *,
    with_fonts: bool = False,
) -> str:
    """A whole SVG document; `with_fonts` it carries the faces that it is set in."""
    root = ET.fromstring(standalone(drawing))
    place = frame.place(drawing)
    is_engraved = "engraved" in (root.attrib.pop("class", ""))
    family = SERIF if is_engraved else SANS
    if not is_engraved:
        # Our sans face has no italics, and some renderers would slant its letters instead.
        for element in root.iter():
            element.attrib.pop("font-style", None)
    if lit:
        per_pixel = float((root.get("viewBox") or "0 0 1 1").split()[2]) / drawing.width
        _Lamp(look.light, per_pixel, _glyph_scales(root)).light(root, lit)
    root.attrib |= {
        "x": f"{place.left:.2f}",
        "y": f"{place.top:.2f}",
        "width": f"{place.width:.2f}",
        "height": f"{place.height:.2f}",
        "overflow": "visible",
        "font-family": f"{family}, {FAMILY}",
    }
    return _document(root, frame, look, _faces(root, is_engraved) if with_fonts else "")


def inset(drawing: Drawing, place: Place) -> str:
    """A drawing as an `svg` element for inside another, in that one's colour."""
    markup = standalone(drawing)
    opening = _OPENING.match(markup)
    if opening is None:
        raise ValueError("this view is a table, not a picture")
    family = SERIF if _ENGRAVED in opening[0] else SANS
    head = _REPLACED.sub("", opening[0][:-1])
    where = f'x="{place.left:.2f}" y="{place.top:.2f}"'
    size = f'width="{place.width:.2f}" height="{place.height:.2f}" overflow="visible"'
    return f'{head} {where} {size} font-family="{family}, {FAMILY}">{markup[opening.end() :]}'


def _document(drawing: ET.Element, frame: Frame, look: Look, style: str) -> str:
    size = {"width": str(frame.width), "height": str(frame.height)}
    box = {"viewBox": f"0 0 {frame.width} {frame.height}", "color": look.ink}
    root = ET.Element(_SVG + "svg", {**size, **box})
    if style:
        ET.SubElement(root, _SVG + "style").text = style
    if look.background is not None:
        ET.SubElement(root, _SVG + "rect", {**size, "fill": look.background})
    root.append(drawing)
    ET.register_namespace("", NAMESPACE)
    return ET.tostring(root, encoding="unicode")


@dataclass(frozen=True, slots=True)
class _Lamp:
    """Marks what is lit in one drawing."""

    colour: str
    per_pixel: float
    """Units of the drawing in a pixel of its natural size."""
    glyphs: Mapping[str, float]
    """How much each glyph shape is scaled by itself."""

    def light(self, root: ET.Element, lit: frozenset[str]) -> None:
        """Mark every element that stands for something lit."""
        for parent in list(root.iter()):
            for child in list(parent):
                if _is_lit(child, lit):
                    parent.insert(list(parent).index(child), self._halo(child))
                    self._colour(child)

    def _colour(self, element: ET.Element) -> None:
        heavier = _HEAVIER_TEXT if element.tag == _TEXT else _HEAVIER
        element.attrib |= {"color": self.colour, "fill": self.colour, "stroke": self.colour}
        element.set("stroke-width", f"{heavier * self.per_pixel:g}")

    def _halo(self, element: ET.Element) -> ET.Element:
        """The element's own outline, broad and pale, to stand behind it."""
        ends = {"stroke-linejoin": "round", "stroke-linecap": "round"}
        halo = ET.Element(_SVG + "g", {"opacity": _PALE, **ends})
        copy = deepcopy(element)
        self._broaden(copy)
        halo.append(copy)
        return halo

    def _broaden(self, element: ET.Element) -> None:
        for name in _NOT_IN_HALO:
            element.attrib.pop(name, None)
        if element.tag in _SHAPES:
            reach = _HALO_OF_TEXT if element.tag == _TEXT else _HALO
            width = 2 * reach * self.per_pixel / self._scale(element)
            element.attrib |= {"color": self.colour, "fill": self.colour, "stroke": self.colour}
            element.set("stroke-width", f"{width:g}")
        for child in list(element):
            if _is_thin(child):
                element.remove(child)
            else:
                self._broaden(child)

    def _scale(self, element: ET.Element) -> float:
        own = _SCALE.search(element.get("transform", ""))
        scale = abs(float(own[1])) if own else 1.0
        if element.tag == _USE:
            scale *= self.glyphs.get(element.get("href", "").removeprefix("#"), 1.0)
        return scale or 1.0


def _is_thin(element: ET.Element) -> bool:
    """Whether it is a part of a note that is no more than a line: a stem, a ring, a flag."""
    is_stroke = element.tag != _TEXT and float(element.get("stroke-width", "0")) > 0
    return is_stroke or element.get("href", "").startswith(_FLAGS)


def _glyph_scales(root: ET.Element) -> dict[str, float]:
    return {
        shape.get("id", ""): abs(float(scale[1]))
        for shape in root.iterfind(f"{_SVG}defs/{_SVG}path")
        if (scale := _SCALE.search(shape.get("transform", "")))
    }


def _is_lit(element: ET.Element, lit: frozenset[str]) -> bool:
    return any(
        f"{name} {each}" in lit
        for name in ("id", "key", "class")
        for each in (element.get(f"data-{name}") or "").split()
    )


def _faces(root: ET.Element, is_engraved: bool) -> str:
    """The faces that a drawing is set in, inside a style sheet."""
    texts = [element for element in root.iter() if element.tag in (_SVG + "text", _SVG + "tspan")]
    if not texts:
        return ""
    bold = any(text.get("font-weight") not in (None, "400", "normal") for text in root.iter())
    italic = any(text.get("font-style") == "italic" for text in root.iter())
    faces = [(SERIF if is_engraved else SANS, "normal", "normal", SERIF_REGULAR)]
    if is_engraved:
        faces += [(SERIF, "bold", "normal", SERIF_BOLD)] * bold
        faces += [(SERIF, "normal", "italic", SERIF_ITALIC)] * italic
    else:
        faces[0] = (SANS, "normal", "normal", SANS_REGULAR)
        faces += [(SANS, "bold", "normal", SANS_BOLD)] * bold
    faces.append((FAMILY, "normal", "normal", TTF))
    return "".join(
        f'@font-face{{font-family:"{family}";font-weight:{weight};font-style:{style};'
        f"src:url(data:font/ttf;base64,{base64.b64encode(path.read_bytes()).decode()})}}"
        for family, weight, style, path in faces
    )
