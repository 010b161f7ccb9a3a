"""Signs that stay with their note: staccato, tenuto, accent, and the circle of an open hi-hat.

The engraver keeps them clear of stems, beams and each other, and whatever stands over the staff
clear of them.
"""

from typing import Final

from stavewright.figures.mei.drums import drum_place
from stavewright.figures.mei.markup import attributes, element
from stavewright.figures.mei.strands import Item
from stavewright.notation.score import Drum, EventMark

_SIGNS: Final = (
    (EventMark.STACCATO, "stacc"),
    (EventMark.TENUTO, "ten"),
    (EventMark.ACCENT, "acc"),
)
"""In the order they stand outwards from the head."""


def articulations(item: Item, stems_down: bool | None) -> str:
    """Those of an event, as they stand in its note or chord."""
    found = ""
    if _is_open(item):
        # Over the stem, not at the head; it is the hand's part that has stems up.
        given = {"artic": "open", "place": "below" if stems_down else "above"}
        found = element("artic", attributes(given))
    if item.marks:
        for mark, name in _SIGNS:
            if mark in item.marks:
                found += element("artic", attributes({"artic": name}))
    return found


def _is_open(item: Item) -> bool:
    """Whether an instrument sounds that is written with a small circle: an open hi-hat."""
    drums = [each.head.sound for each in item.heads if isinstance(each.head.sound, Drum)]
    return bool(drums) and any(drum_place(drum, one_line=False).open for drum in drums)
