"""How a question is worded: `V7 in C minor`, `the uh of one in 4/4`."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import TypeVar

    T = TypeVar("T")

_IN: Final = re.compile(r"(?P<what>.*?)(?:^|\s+)in(?:\s+(?P<where>.*))?")


def split_in(text: str) -> tuple[str, str | None, int]:
    """Split at the first `in`: what, where (None if it is not said), where's offset in the text."""
    match = _IN.fullmatch(text)
    if match is None:
        return text, None, len(text)
    return match["what"], match["where"] or "", max(match.start("where"), 0) or len(text)


def what_and_key(text: str, key: Key | None = None) -> tuple[str, Key | None]:
    """Read `V7 in C minor`, or take the key that was given beside the text.

    Raises TheoryError for a key that cannot be read and for one that is said twice.
    """
    what, where, at = split_in(text)
    if where is None:
        return what, key
    if key is not None:
        raise TheoryError("The key is said twice; say it once", text, at)
    return what, read_at(text, where, at, Key.parse)


def read_at(text: str, part: str, offset: int, read: Callable[[str], T]) -> T:
    """Read a part of a longer text; a TheoryError points into the whole."""
    try:
        return read(part)
    except TheoryError as error:
        raise error.within(text, offset) from None


def words_of(text: str) -> list[tuple[str, int]]:
    """Give the words of a text, each with its offset."""
    return [(match[0], match.start()) for match in re.finditer(r"[^\s,]+", text)]
