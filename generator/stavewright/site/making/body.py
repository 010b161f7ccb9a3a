"""An article's HTML with holes: where other pages have a say in it."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from html import escape

from markupsafe import Markup

# Noncharacters, which no text of an article holds: `lines.printable` replaces them.
_OPEN, _CLOSE = "\ufdd2", "\ufdd3"
_HOLE = re.compile(f"{_OPEN}([an])([0-9]+){_CLOSE}")


def address_hole(link: int) -> str:
    """What stands for the address of a link, by its index in the article."""
    return f"{_OPEN}a{link}{_CLOSE}"


def note_hole(link: int) -> str:
    """What stands for a note behind a link that leads nowhere."""
    return f"{_OPEN}n{link}{_CLOSE}"


@dataclass(frozen=True, slots=True)
class Body:
    """The parts of an article's HTML, and what belongs between them."""

    texts: tuple[str, ...]
    holes: tuple[tuple[str, int], ...]
    """Between each two texts: `a` for the address or `n` for the note of the link of an index."""

    @classmethod
    def cut(cls, html: str) -> "Body":
        """The body of HTML that has the holes above in it."""
        pieces = _HOLE.split(html)
        holes = zip(pieces[1::3], map(int, pieces[2::3]), strict=True)
        return cls(tuple(pieces[::3]), tuple(holes))

    def filled(self, address: Callable[[int], str], note: Callable[[int], str]) -> Markup:
        """The HTML, with the address of each link and the markup of each note."""
        fill = {"a": lambda link: escape(address(link)), "n": note}
        filled = [fill[kind](link) for kind, link in self.holes]
        between = [part for pair in zip(self.texts, filled, strict=False) for part in pair]
        # Our own renderer wrote the texts, and escaped what the author wrote in them.
        return Markup("".join([*between, self.texts[-1]]))
