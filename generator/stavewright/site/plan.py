"""What a page is made of, digest by digest: whether it must be made again, and why."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Final

from stavewright.site.store import digest

_SIZE: Final = 8
"""Bytes kept of each part's digest."""
_EMPTY: Final = bytes(_SIZE)


class Part(Enum):
    """What a page is made of; each says why a page is made again when it differs."""

    PROGRAM = "Stavewright, or a tool it works with, is another version"
    THEME = "the theme changed"
    SETTINGS = "the site's settings changed"
    TEXT = "its text changed"
    NAVIGATION = "the navigation changed"
    LINKS = "something it links to was moved, added or taken away"
    MENTIONS = "the pages that mention it changed, or their titles"
    NEIGHBOURS = "the page before or after it changed, or its title"
    LISTS = "the articles that it lists changed, or their titles"
    TERMS = "the pages that use its terms changed, or their titles"
    SHOWN = "something else that it shows changed"


def seen(*values: object) -> bytes:
    """A digest of values whose `repr` says all of them; the empty one where there are none."""
    return _EMPTY if all(value is None for value in values) else digest(*map(repr, values))


@dataclass(frozen=True, slots=True)
class Parts:
    """The digests of what a page is made of."""

    data: bytes
    """One after the other, in the order of `Part`."""

    @classmethod
    def of(cls, digests: Mapping[Part, bytes]) -> "Parts":
        """The digests by part; one that is left out is empty."""
        return cls(b"".join(digests.get(part, _EMPTY)[:_SIZE] for part in Part))

    @property
    def key(self) -> bytes:
        """One digest for all parts."""
        return digest(self.data)

    def differing(self, other: "Parts") -> tuple[Part, ...]:
        """The parts that differ, without those that follow from another of them."""
        found = [part for place, part in enumerate(Part) if self._at(place) != other._at(place)]
        follow = {Part.SHOWN} if len(found) > 1 else set()
        if Part.TEXT in found:
            follow.add(Part.LINKS)
        return tuple(part for part in found if part not in follow)

    def _at(self, place: int) -> bytes:
        return self.data[place * _SIZE : (place + 1) * _SIZE]


@dataclass(frozen=True, slots=True)
class PagePlan:
    """A page that can be made whenever somebody asks for it."""

    path: str
    """The file below the output folder."""
    source: str | None
    """The Markdown file as findings name it; None for pages that the site makes by itself."""
    parts: Parts
    make: Callable[[], bytes]
    """The page. Raises `ThemeError` where a template cannot be filled in."""
