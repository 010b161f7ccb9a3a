"""The engraver's elements written out in the fewest letters that draw the same picture.

Groups without a name of ours are opened up, the lines of a staff are one path, coordinates carry no
separators they can do without, and a glyph of full size is a name and a place. Nothing is joined
that could overlap: two strokes that meet are darker at their seam than one.
"""

import re
import xml.etree.ElementTree as ET
from functools import lru_cache
from typing import Final, NamedTuple

from stavewright.figures.svg.glyphs import SCALE
from stavewright.figures.svg.paths import joined, line_of, shortened
from stavewright.figures.svg.runs import escaped, write_text

_SVG: Final = "{http://www.w3.org/2000/svg}"
_GROUP, _USE, _PATH, _TEXT = (_SVG + tag for tag in ("g", "use", "path", "text"))

_PLACED: Final = re.compile(r"translate\((-?[\d.]+), ?(-?[\d.]+)\) scale\((-?[\d.]+), (-?[\d.]+)\)")
_MARGIN: Final = re.compile(r"translate\((-?[\d.]+), (-?[\d.]+)\)")
_FULL_SIZE: Final = f"{SCALE:g}"

_INVISIBLE: Final = "placeholder"
_MARKER: Final = "MilestoneEnd"
_KEPT_CLASSES: Final = frozenset({"hl", "ring"})
"""What a style sheet of a page speaks of."""
_LOOKS: Final = {
    "ending": ' font-weight="bold"',
    "dir": ' font-style="italic"',
    "dynam": ' font-style="italic"',
    "mNum": ' font-style="italic"',
}
"""How the engraver's own style sheet sets the text inside these. It has tempo marks and what stands
over single notes bold too; ours are metronome marks and signs, which are printed light."""
_UNNAMED: Final = frozenset({"id", "class"})


def compact(inner: ET.Element) -> tuple[str, tuple[float, float]]:
    """What stands inside the engraver's inner `svg`, and the margins left and top of it."""
    margin = (0.0, 0.0)
    out: list[str] = []
    for child in inner:
        place = _MARGIN.fullmatch(child.get("transform", ""))
        if child.get("class") == "page-margin" and place is not None:
            margin = float(place[1]), float(place[2])
            del child.attrib["transform"]
        _write(child, out, "")
    return "".join(out), margin


def _write(element: ET.Element, out: list[str], look: str) -> None:
    tag = element.tag
    if tag == _GROUP:
        _write_group(element, out, look)
    elif tag == _USE:
        out.append(_glyph(element))
    elif tag == _PATH:
        out.append(_path(element, shortened(element.get("d", ""))))
    elif tag == _TEXT:
        out.append(write_text(element, look))
    else:
        out.append(f"<{tag.removeprefix(_SVG)}{_attributes(element)}/>")


class _Kind(NamedTuple):
    """What the classes of a group say about it."""

    invisible: bool
    is_staff: bool
    look: str | None
    """Attributes of text inside; None where the group says nothing about it."""
    kept: str
    """Its own classes that stay."""


@lru_cache(maxsize=512)  # the same few hundred words in all drawings, but for ids in end marks
def _kind_of(words: str) -> _Kind:
    classes = words.split()
    first = classes[0] if classes else ""
    return _Kind(
        invisible=_INVISIBLE in classes or first.endswith(_MARKER),
        is_staff=first == "staff",
        look=_LOOKS.get(first),
        kept=" ".join(name for name in classes if name in _KEPT_CLASSES),
    )


def _write_group(group: ET.Element, out: list[str], look: str) -> None:
    kind = _kind_of(group.get("class", ""))
    if kind.invisible:
        return
    if kind.look is not None:
        look = kind.look
    opening = _opening(group, kind.kept)
    mark = len(out)
    if opening:
        out.append(opening)
    children = _write_staff_lines(group, out) if kind.is_staff else group
    for child in children:
        _write(child, out, look)
    if not opening:
        return
    if len(out) == mark + 1:
        out.pop()  # nothing in it: nothing to light up either
    else:
        out.append("</g>")


def _opening(group: ET.Element, kept: str) -> str:
    """The tag of a group that has to stay; "" for one that only groups."""
    words = ""
    name = group.get("id", "")
    # The engraver's own ids are letters and digits; each of ours has a hyphen.
    if "-" in name and not name.startswith("x-"):
        words = f' data-id="{escaped(name)}"'
    if kept:
        words += f' class="{kept}"'
    moved = group.get("transform")
    if moved is not None:
        words += f' transform="{escaped(moved)}"'
    return f"<g{words}>" if words else ""


def _write_staff_lines(staff: ET.Element, out: list[str]) -> list[ET.Element]:
    """Write a staff's lines, which lie clear of each other, as one path; give what follows them."""
    width = next((child.get("stroke-width") for child in staff), None)
    lines = []
    for child in staff:
        line = line_of(child.get("d", ""))
        if line is None or line[1] != line[3] or child.get("stroke-width") != width:
            break
        lines.append(line)
    children = list(staff)
    if lines:
        out.append(_path(children[0], joined(lines)))
    return children[len(lines) :]


def _path(path: ET.Element, data: str) -> str:
    words = f' d="{data}"'
    for name, value in path.items():
        if name != "d" and name not in _UNNAMED:
            words += f' {name}="{escaped(value)}"'
    return f"<path{words}/>"


def _glyph(use: ET.Element) -> str:
    name = use.get("href", "")[1:].partition("-")[0]
    transform = use.get("transform", "")
    place = _PLACED.fullmatch(transform)
    if place is None or place[3] != place[4]:
        return f'<use href="#{name}" transform="{escaped(transform)} scale({1 / SCALE:.7g})"/>'
    x, y, scale = place[1], place[2], place[3]
    if scale == _FULL_SIZE:
        return f'<use href="#{name}" x="{x}" y="{y}"/>'
    size = f"{float(scale) / SCALE:.6g}".removeprefix("0")
    return f'<use href="#{name}" transform="translate({x} {y})scale({size})"/>'


def _attributes(element: ET.Element) -> str:
    kept = ((name, value) for name, value in element.items() if name not in _UNNAMED)
    words = "".join(f' {name}="{escaped(value)}"' for name, value in kept)
    classes = element.get("class")
    return f' class="{classes}"{words}' if classes in _KEPT_CLASSES else words
