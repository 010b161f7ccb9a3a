"""The last look at a body that holds HTML of its author's, by a parser that reads as browsers do.

What `html.py` keeps is meant to be harmless and well formed. This does not rely on it: the whole
body goes through nh3 (the cleaner of a well-kept HTML parser), which lets through what articles may
hold and what the renderer itself writes, and nothing else. Figures and claims are made by the tool,
from values and not from HTML; marks stand for them meanwhile.
"""

import re
from collections.abc import Mapping
from typing import Final

import nh3

from stavewright.articles.html_elements import ELEMENTS, EVERYWHERE, SCHEMES

# Noncharacters, which no text of an article holds: `lines.printable` replaces them.
_OPEN, _CLOSE = "\ufdd0", "\ufdd1"
_MARK = re.compile(f"{_OPEN}([0-9]+){_CLOSE}")

_OWN: Final[dict[str, set[str]]] = {
    "a": {"class", "href", "id", "role"},
    "code": {"class"},
    "div": {"class"},
    "dt": {"id"},
    "h1": {"id"},
    "h2": {"id"},
    "h3": {"id"},
    "h4": {"id"},
    "h5": {"id"},
    "h6": {"id"},
    "img": {"alt", "decoding", "loading", "src"},
    "li": {"id"},
    "pre": {"tabindex"},
    "section": {"class", "role"},
    "sup": {"class"},
    "td": {"class"},
    "th": {"class"},
}
"""What the renderer of the body writes besides, by element."""

_ALLOWED: Final[dict[str, set[str]]] = {
    name: {*ELEMENTS.get(name, ()), *_OWN.get(name, ())} for name in {*ELEMENTS, *_OWN}
} | {"*": {*EVERYWHERE, "data-line"}}
_CLEANER: Final = nh3.Cleaner(
    tags=set(_ALLOWED) - {"*"},
    attributes=_ALLOWED,
    url_schemes=set(SCHEMES),
    generic_attribute_prefixes={"aria-"},
    link_rel=None,
)


class Marks:
    """Takes pieces of markup and gives a mark for each, to be filled in again when all is clean."""

    def __init__(self) -> None:
        self._pieces: list[str] = []

    def mark_all(self, pieces: Mapping[int, str]) -> dict[int, str]:
        """The same keys with what stands for each piece of markup until `fill`."""
        return {key: self._mark(markup) for key, markup in pieces.items()}

    def _mark(self, markup: str) -> str:
        self._pieces.append(markup)
        return f"{_OPEN}{len(self._pieces) - 1}{_CLOSE}"

    def fill(self, text: str) -> str:
        """The text with every mark replaced by what it stands for."""
        return _MARK.sub(lambda mark: self._pieces[int(mark[1])], text)


def clean(body: str) -> str:
    """The body with nothing in it but what articles may hold and the renderer writes."""
    return _CLEANER.clean(body)
