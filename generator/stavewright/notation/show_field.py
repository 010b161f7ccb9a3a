"""Reads `show:`: the views to draw, and which frets of a neck."""

import re
from typing import Final

from stavewright.notation.near import listed, near
from stavewright.notation.passage import Passage
from stavewright.notation.report import Report
from stavewright.notation.score import View
from stavewright.notation.vocabulary import VIEW_NAMES

_VIEW: Final = re.compile(
    r"(?P<name>[^\s(),]+)(?P<bracket>\((?P<options>[^()\n]*)\)|\((?P<open>[^()\s]*))?"
)
_FRETS: Final = re.compile(r"(?P<low>\d{1,2})\s*[-–]\s*(?P<high>\d{1,2})")
_MEANT: Final = {
    "stave": "staff",
    "notation": "staff",
    "piano": "keyboard",
    "rhythm": "grid",
    "fifths": "circle",
    "guitar": "fretboard",
    "neck": "fretboard",
    "tuning": "ruler",
    "cents": "ruler",
}
"""Words for what a view draws, whose letters lead to another view or to none."""
MOST_FRETS: Final = 24
"""Frets of the longest guitar necks."""


def read_show(passage: Passage, report: Report) -> tuple[View, ...]:
    """Read `staff keyboard fretboard(5-9)`: views in order, each once."""
    views: list[View] = []
    at = 0
    for found in _VIEW.finditer(passage.text):
        _between(passage, at, found.start(), report)
        at = found.end()
        name, options = found["name"], " ".join((found["options"] or "").split())
        span = passage.span(*found.span())
        if name not in VIEW_NAMES:
            place = passage.span(*found.span("name"))
            message = f"No view is called {name[:40]!r}; there are {listed(VIEW_NAMES)}"
            report.add(place, message, _MEANT.get(name) or near(name, VIEW_NAMES))
        elif found["open"] is not None:
            report.add(span, "The options of a view are closed with )", found[0] + ")")
        elif name in (view.name for view in views):
            report.add(span, f"The view {name!r} is named twice", "")
        elif options and (problem := _options_problem(name, options)):
            report.add(span, *problem)
        else:
            views.append(View(name, options, span))
    _between(passage, at, len(passage.text), report)
    return tuple(views)


def _between(passage: Passage, start: int, end: int, report: Report) -> None:
    """Between views stand spaces; a comma does no harm."""
    text = passage.text[start:end]
    extra = text.strip(" ,\n")
    if extra:
        first = start + text.index(extra)
        report.add(passage.span(first, first + len(extra)), "Views are parted by spaces", "")


def _options_problem(name: str, options: str) -> tuple[str, str | None] | None:
    """Say what is wrong with what stands in a view's parentheses, and what would be right."""
    if name != "fretboard":
        return f"The view {name} takes no options", name
    frets = [int(number) for number in re.findall(r"\d{1,2}", options)]
    wanted = "-".join(str(fret) for fret in sorted(frets)) if len(set(frets)) == 2 else None
    good = bool(frets) and max(frets) <= MOST_FRETS
    match = _FRETS.fullmatch(options)
    if match and int(match["low"]) < int(match["high"]) <= MOST_FRETS:
        return None
    message = f"A fretboard shows its frets from the lower to the higher, up to {MOST_FRETS}"
    return f"{message}, such as fretboard(5-9)", f"{name}({wanted})" if wanted and good else None
