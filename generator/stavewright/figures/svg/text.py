"""Text in a drawing: the signs' own font, and figures stacked over one another.

The engraver sets a raised run and a lowered run side by side. A pair that the MEI marked (ids that
begin `x-up-` and `x-down-`) is moved together here: the lower run starts where the upper one did.
"""

import re
import xml.etree.ElementTree as ET

_SVG = "{http://www.w3.org/2000/svg}"
SIGNS_FAMILY = "Stavewright Signs"
UP_MARK, DOWN_MARK = "x-up-", "x-down-"

_DIGIT = 0.5
"""Width of a figure in the faces of the Times kind, in ems."""
_SIGN = 0.149
"""Width of an accidental in the signs' font, in ems of its own size."""
_RAISED, _LOWERED = -0.62, 0.2
"""Baselines of the pair, in ems of their own size, from that of the line."""


def set_text(root: ET.Element) -> None:
    """Mend every text element of the drawing."""
    for text in root.iter(_SVG + "text"):
        for run in text.iter(_SVG + "tspan"):
            if run.get("font-family"):
                run.set("font-family", SIGNS_FAMILY)
        _stack(text)


def _stack(text: ET.Element) -> None:
    """Move each marked pair together, and what follows it back to the line."""
    runs = list(text)
    for place, run in enumerate(runs):
        if not (run.get("data-id") or "").startswith(DOWN_MARK) or place == 0:
            continue
        upper = runs[place - 1]
        size = _size(upper)
        above, below = _width(upper), _width(run)
        _shift(upper, 0, _RAISED * size)
        _shift(run, -above, (_LOWERED - _RAISED) * size)
        if place + 1 < len(runs):
            _shift(runs[place + 1], max(0, above - below), -_LOWERED * size)


def _shift(run: ET.Element, dx: float, dy: float) -> None:
    """Set the shift of a run, which the engraver writes on the `text` tspan inside it."""
    inner = run.find(_SVG + "tspan")
    target = inner if run.get("class") == "rend" and inner is not None else run
    for name, shift in (("dx", dx), ("dy", dy)):
        if round(shift):
            target.set(name, f"{shift:.0f}")
        else:
            target.attrib.pop(name, None)


def _leaves(run: ET.Element) -> list[ET.Element]:
    return [leaf for leaf in run.iter(_SVG + "tspan") if leaf.text]


def _font_size(leaf: ET.Element) -> float:
    return float(re.sub("px$", "", leaf.get("font-size", "0px")))


def _size(run: ET.Element) -> float:
    """Size of the figures, in drawing units; of the smallest run, for signs are set larger."""
    return min((_font_size(leaf) for leaf in _leaves(run)), default=0.0)


def _width(run: ET.Element) -> float:
    widths = (
        len(leaf.text or "")
        * _font_size(leaf)
        * (_SIGN if leaf.get("font-family") == SIGNS_FAMILY else _DIGIT)
        for leaf in _leaves(run)
    )
    return sum(widths)
