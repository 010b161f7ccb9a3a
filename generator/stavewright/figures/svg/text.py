"""Text in a drawing: the signs' own font, and figures stacked over one another.

The engraver sets a raised run and a lowered run side by side. A pair that the MEI marked (ids that
begin `x-up-` and `x-down-`) is moved together here: the lower run starts where the upper one did.
"""

import re
import xml.etree.ElementTree as ET
from itertools import accumulate, groupby
from typing import Final

from stavewright.figures.signs import FAMILY
from stavewright.figures.signs.outlines import OUTLINES

UP_MARK, DOWN_MARK = "x-up-", "x-down-"

_WIDTHS: Final = {outline.character: outline.advance / 1000 for outline in OUTLINES}
"""Of the signs, in ems."""
_DIGIT: Final = 0.5
"""Width of a figure in the faces of the Times kind, in ems."""
_GAP: Final = 0.1
"""Before a stacked pair, in ems of its own size."""
_RAISED, _LOWERED = -0.62, 0.2
"""Baselines of a stacked pair, in ems of their own size, from that of the line."""

_ENGRAVERS_SIGNS: Final = {"\uea64": "♭", "\uea65": "♮", "\uea66": "♯", "\ue551": "\u203f"}
_ENGRAVERS_SIZE: Final = 405 / 720
"""The engraver sets its accidentals in a music font larger than the text they stand in."""


def set_text(text: ET.Element) -> None:
    """Mend a text element."""
    for run in list(text.iter("tspan")):
        if run.text and not run.text.isascii():
            _use_unicode(run)
            _split_signs(run)
    if any(_is_lower(run) for run in text):
        _stack(text)


def _use_unicode(run: ET.Element) -> None:
    """Write the engraver's private signs as Unicode's, at the size of the text."""
    if run.text and any(sign in run.text for sign in _ENGRAVERS_SIGNS):
        for private, sign in _ENGRAVERS_SIGNS.items():
            run.text = run.text.replace(private, sign)
        run.set("font-size", f"{_font_size(run) * _ENGRAVERS_SIZE:.0f}px")
        run.attrib.pop("font-family", None)


def _split_signs(run: ET.Element) -> None:
    """Set each sign in the signs' font, for renderers that look no further than the first."""
    text = run.text or ""
    if not any(character in _WIDTHS for character in text):
        return
    pieces = [(own, "".join(part)) for own, part in groupby(text, _WIDTHS.__contains__)]
    if len(pieces) == 1:
        run.set("font-family", FAMILY)
        return
    run.text = None
    for own, piece in pieces:
        attributes = {"font-family": FAMILY} if own else {}
        ET.SubElement(run, "tspan", attributes).text = piece


def _stack(text: ET.Element) -> None:
    """Move each marked pair together, and what follows it back to where it was."""
    runs = list(text)
    heights = list(accumulate(_shift_of(run, "dy") for run in runs))
    # How far each run starts after (or, if negative, before) the end of the one before it.
    back = [0.0] * len(runs)
    for place, run in enumerate(runs):
        if not _is_lower(run) or place == 0:
            continue
        upper = runs[place - 1]
        size = _size(upper)
        heights[place - 1], heights[place] = _RAISED * size, _LOWERED * size
        above, below = _width(upper), _width(run)
        back[place - 1] += _GAP * size
        back[place] = -above
        if place + 1 < len(runs):
            back[place + 1] = max(0.0, above - below)
    if not any(back):
        return
    for run, dx, before, height in zip(runs, back, [0.0, *heights], heights, strict=False):
        _shift(run, dx, height - before)


def _is_lower(run: ET.Element) -> bool:
    return run.get("id", "").startswith(DOWN_MARK)


def _target(run: ET.Element) -> ET.Element:
    """The tspan that carries a run's shift: the engraver writes it inside its own wrapper."""
    inner = run.find("tspan")
    return inner if run.get("class") == "rend" and inner is not None else run


def _shift_of(run: ET.Element, name: str) -> float:
    return float(_target(run).get(name, "0"))


def _shift(run: ET.Element, dx: float, dy: float) -> None:
    target = _target(run)
    for name, shift in (("dx", dx), ("dy", dy)):
        if round(shift):
            target.set(name, f"{shift:.0f}")
        else:
            target.attrib.pop(name, None)


def reach_left(text: ET.Element) -> float:
    """How far a row of a figured bass reaches to the left of its note, in drawing units.

    Its figures are centred on the note, or else its accidental is.
    """
    content = "".join(text.itertext())
    size = _size(text)
    signs = sum(_WIDTHS.get(character, 0.0) for character in content)
    digits = sum(character not in _WIDTHS for character in content) * _DIGIT
    return (signs + digits / 2 if digits else signs / 2) * size


def _font_size(leaf: ET.Element) -> float:
    return float(re.sub("px$", "", leaf.get("font-size", "0px")))


def _size(run: ET.Element) -> float:
    """Size of the figures of a run, in drawing units."""
    sizes = (_font_size(part) for part in run.iter("tspan"))
    return min((size for size in sizes if size), default=0.0)


def _width(run: ET.Element) -> float:
    text = "".join(run.itertext())
    return _size(run) * sum(_WIDTHS.get(character, _DIGIT) for character in text)
