"""The engraver's own page, to hold ours against: mended as ours is, but not made smaller."""

import re
import xml.etree.ElementTree as ET

import pytest

from stavewright.figures import Drawing, drawer
from stavewright.figures.drawer import Drawer
from stavewright.figures.svg.alone import FAMILIES
from stavewright.figures.svg.finish import NAMESPACE, mended, sheet_of
from stavewright.figures.svg.text import reach_left, set_text
from tests.figures.scores import mei_text, written

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
    sheet = sheet_of(page)
    # As HTML reads it, which knows no namespaces.
    source = ET.fromstring(page.replace(f' xmlns="{NAMESPACE}"', "", 1))
    inner = next(element for element in source if element.tag == "svg")
    (margin,) = inner
    margin[:] = ET.fromstring(f"<g>{mended(sheet.drawn)}</g>")
    _mend_text(margin)
    left, height = drawing.width * 25 - sheet.width, drawing.height * 25
    root = ET.Element("svg", {"id": source.get("id", ""), "font-family": FAMILIES})
    root.attrib |= {"width": f"{drawing.width:g}", "height": f"{drawing.height:g}"}
    root.attrib |= {"viewBox": f"{-left:g} 0 {sheet.width + left:g} {height:g}"}
    root.attrib |= {"xmlns": NAMESPACE, "overflow": "visible"}
    root.extend(element for element in source if element is not inner)
    root.append(margin)
    # A rule such as `#root path` does not reach shapes that `use` brings in, and browsers keep to
    # that (SVG 2, 5.5.3); resvg does not, and would stroke every glyph by a hair.
    for shape in root.iterfind("defs//path"):
        shape.set("style", "stroke: none")
    style = root.find("style")
    assert style is not None
    style.text = _LIGHT.sub("", style.text or "").replace(", {", "{")
    return ET.tostring(root, encoding="unicode")


def _mend_text(drawn: ET.Element) -> None:
    for text in drawn.iter("text"):
        set_text(text)
    for row in drawn.iterfind(".//g[@class='fb']/text"):
        row.set("x", f"{float(row.get('x', '0')) - reach_left(row):.0f}")
