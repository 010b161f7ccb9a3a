"""The engraver's SVG made fit for a page.

It comes with ids on everything, a style sheet of its own and black ink. It leaves in the reader's
colour, with no style, with `data-id` on what the MEI named, and with ids only where the drawing
points at itself: on its glyphs, each under a prefix made from the whole drawing, so that figures on
one page never clash.
"""

import hashlib
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator

from stavewright.figures.figure import Drawing
from stavewright.figures.svg.accidentals import clear_reversed_flats
from stavewright.figures.svg.rings import ring_emphasised
from stavewright.figures.svg.text import set_text
from stavewright.figures.svg.tuplets import clear_inner_numbers

NAMESPACE = "http://www.w3.org/2000/svg"
_SVG = f"{{{NAMESPACE}}}"
_UNITS_PER_PIXEL = 25
"""Of the engraver's drawing units, at the scale we ask for."""
_OVERHANGING = {"grpSym", "mNum"}
"""Braces, brackets and bar numbers, for which the engraver forgets to keep a margin."""
_LEFT_MARGIN = 9
"""Pixels to the left of the staves for those."""
_STAND_IN = "sw-0000000000-"
"""Stands for the prefix of ids until the drawing is complete and its hash known."""

_FAMILY = (
    "Times New Roman, Times, Liberation Serif, Nimbus Roman, Tinos, FreeSerif, "
    "DejaVu Serif Condensed, serif"
)
"""The engraver spaces text by the widths of Times; all of these but the last two have them."""

_KEPT = frozenset({"class", "data-id"})
_WEIGHTS = {
    "ending": ("font-weight", "bold"),
    "dir": ("font-style", "italic"),
    "dynam": ("font-style", "italic"),
}


def finish(markup: str) -> Drawing:
    """Turn the engraver's page into a `Drawing`."""
    source = ET.fromstring(markup)
    inner = next(element for element in source if element.tag == _SVG + "svg")
    _drop_invisible(inner)
    set_text(inner)
    clear_inner_numbers(inner)
    clear_reversed_flats(inner)
    ring_emphasised(inner)
    _clean(inner)
    root = _root(source, inner)
    text = _serialise(root)
    digest = hashlib.sha256(text.encode()).hexdigest()[:10]
    text = text.replace(_STAND_IN, f"sw-{digest}-")
    return Drawing(text, float(root.get("width", "0")), float(root.get("height", "0")))


def _root(source: ET.Element, inner: ET.Element) -> ET.Element:
    """One `svg` element in place of the engraver's two."""
    _, _, width, height = (float(number) for number in inner.get("viewBox", "").split())
    classes = {element.get("class") for element in inner.iter()}
    left = _LEFT_MARGIN * _UNITS_PER_PIXEL if classes & _OVERHANGING else 0
    root = ET.Element(
        _SVG + "svg",
        {
            "class": "engraved",
            "width": f"{(width + left) / _UNITS_PER_PIXEL:g}",
            "height": f"{height / _UNITS_PER_PIXEL:g}",
            "viewBox": f"{-left:g} 0 {width + left:g} {height:g}",
            "fill": "currentColor",
            "stroke": "currentColor",
            "stroke-width": "0",
            "font-family": _FAMILY,
        },
    )
    # The engraver clips nothing, and neither do we: a letter may reach past the edge.
    root.set("overflow", "visible")
    glyphs = source.find(_SVG + "defs")
    if glyphs is not None:
        _rename(glyphs, inner, source.get("id", ""))
        root.append(glyphs)
    root.extend(inner)
    return root


def _rename(glyphs: ET.Element, inner: ET.Element, suffix: str) -> None:
    """Give the glyphs, and what points at them, ids of our own."""
    for glyph in glyphs:
        glyph.set("id", _STAND_IN + glyph.get("id", "").removesuffix(f"-{suffix}"))
    for use in inner.iter(_SVG + "use"):
        target = use.get("href", "").removeprefix("#").removesuffix(f"-{suffix}")
        use.set("href", f"#{_STAND_IN}{target}")


def _drop_invisible(parent: ET.Element) -> None:
    """Take out what the engraver's style sheet would hide, and its markers."""
    for child in list(parent):
        classes = (child.get("class") or "").split()
        if any(name == "placeholder" or name.endswith("MilestoneEnd") for name in classes):
            parent.remove(child)
        else:
            _drop_invisible(child)


def _clean(parent: ET.Element) -> None:
    """Keep only the attributes that draw or that we wrote; drop groups left empty."""
    for child in list(parent):
        _clean(child)
        _clean_attributes(child)
        is_empty = child.tag == _SVG + "g" and not len(child)
        if is_empty and child.get("data-id") is None:
            parent.remove(child)


def _clean_attributes(element: ET.Element) -> None:
    for name in list(element.attrib):
        if name.startswith("data-") and name not in _KEPT:
            del element.attrib[name]
    identifier = element.get("data-id")
    # The engraver's own ids are letters and digits; each of ours has a hyphen.
    if identifier is not None and ("-" not in identifier or identifier.startswith("x-")):
        del element.attrib["data-id"]
    classes = [name for name in (element.get("class") or "").split() if name != "pageMilestone"]
    if classes and classes[0] in _WEIGHTS:
        element.set(*_WEIGHTS[classes[0]])
    if element.tag == _SVG + "tspan" or not classes:
        element.attrib.pop("class", None)
    else:
        element.set("class", " ".join(classes))


def _walk(element: ET.Element) -> Iterator[str]:
    """Write an element without the `ns0:` of the standard writer, and attributes in order."""
    tag = element.tag.removeprefix(_SVG)
    attributes = "".join(f' {name}="{_escaped(value)}"' for name, value in element.items())
    content = _escaped(element.text or "", quotes=False)
    if not content and not len(element):
        yield f"<{tag}{attributes}/>"
        return
    yield f"<{tag}{attributes}>{content}"
    for child in element:
        yield from _walk(child)
        yield _escaped(child.tail or "", quotes=False)
    yield f"</{tag}>"


def _escaped(text: str, *, quotes: bool = True) -> str:
    text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    text = re.sub(r"[\r\n\t]+", " ", text)
    return text.replace('"', "&quot;") if quotes else text


def _serialise(root: ET.Element) -> str:
    root.attrib = {"xmlns": NAMESPACE} | root.attrib
    return "".join(_walk(root))
