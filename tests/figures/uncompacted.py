"""The engraver's own page, to hold ours against: mended as ours is, but not made smaller."""

import re
import xml.etree.ElementTree as ET

import pytest

from stavewright.figures import Drawing, drawer
from stavewright.figures.drawer import Drawer
from stavewright.figures.svg.alone import FAMILIES
from stavewright.figures.svg.finish import mend
from tests.figures.scores import mei_text, written

SVG = "{http://www.w3.org/2000/svg}"
_LIGHT = re.compile(r"#\S+ g\.(fing|reh|tempo),? ?")
"""Rules of the engraver that we mean to break: metronome marks and signs are not bold."""


def styled_drawer() -> Drawer:
    """A drawer whose pages are in pixels and have the engraver's style sheet, as is usual."""
    with pytest.MonkeyPatch.context() as patch:
        patch.delitem(drawer._OPTIONS, "mmOutput")
        styled = Drawer()
        styled.draw(mei_text(written("time: 4/4\nnotes: 1/1 C4")), (None,))  # it is told them once
    return styled


def uncompacted(page: str, drawing: Drawing) -> str:
    """A page of the `styled_drawer`, mended but not compacted, with the edges that we give it."""
    source = ET.fromstring(page)
    inner = next(element for element in source if element.tag == SVG + "svg")
    mend(inner, page)
    width = float(inner.get("viewBox", "").split()[2])
    left, height = drawing.width * 25 - width, drawing.height * 25
    root = ET.Element(SVG + "svg", {"id": source.get("id", ""), "font-family": FAMILIES})
    root.attrib |= {"width": f"{drawing.width:g}", "height": f"{drawing.height:g}"}
    root.attrib |= {"viewBox": f"{-left:g} 0 {width + left:g} {height:g}", "overflow": "visible"}
    root.extend(element for element in source if element is not inner)
    root.extend(inner)
    # A rule such as `#root path` does not reach shapes that `use` brings in, and browsers keep to
    # that (SVG 2, 5.5.3); resvg does not, and would stroke every glyph by a hair.
    for shape in root.iterfind(f"{SVG}defs//{SVG}path"):
        shape.set("style", "stroke: none")
    style = root.find(SVG + "style")
    assert style is not None
    style.text = _LIGHT.sub("", style.text or "").replace(", {", "{")
    # As HTML reads it, which knows no prefixes.
    return ET.tostring(root, encoding="unicode").replace("ns0:", "").replace(":ns0", "")
