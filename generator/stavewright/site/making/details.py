"""What an essence keeps packed because it is seldom asked for: most of what a large site holds."""

import zlib
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from stavewright.articles.article import Heading, Link
from stavewright.site.social_style import SocialPicture
from stavewright.site.store import Codec

_AT_HAND: Final = 64
"""How many stay unpacked: whoever works on a page asks for one thing after the other."""


@dataclass(frozen=True, slots=True)
class Details:
    """What the page of an article itself is made of, beside its body."""

    links: tuple[Link, ...]
    reaches: tuple[str | None, ...]
    headings: tuple[Heading, ...]
    picture: SocialPicture | None


_CODEC: Final = Codec(Details)


def pack(details: Details) -> bytes:
    """The details as bytes, a third as long as they would be unpacked."""
    return zlib.compress(_CODEC.encode(details), 1)


@lru_cache(_AT_HAND)
def unpack(packed: bytes) -> Details:
    """What `pack` packed."""
    return _CODEC.decode(zlib.decompress(packed))
