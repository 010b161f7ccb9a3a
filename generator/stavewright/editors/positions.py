"""Columns as we count them and as editors do.

Ours are Unicode code points from 1. An editor counts from 0, in units that it and the server agree
on; without agreement in UTF-16, where a character beyond the first plane, such as many a musical
sign, has two (Language Server Protocol 3.17, "Position").
"""

from enum import Enum
from typing import Final


class Encoding(Enum):
    """In what an editor counts columns."""

    UTF8 = "utf-8"
    UTF16 = "utf-16"
    UTF32 = "utf-32"


_BEYOND: Final = 0xFFFF


def width(text: str, encoding: Encoding) -> int:
    """How many units a text has."""
    if encoding is Encoding.UTF32:
        return len(text)
    if encoding is Encoding.UTF16:
        return len(text) + sum(ord(sign) > _BEYOND for sign in text)
    return len(text.encode("utf-8", "surrogatepass"))


def character_at(text: str, column: int, encoding: Encoding) -> int:
    """The editor's place of a column in a line; a column beyond its end counts as its end."""
    return width(text[: max(column - 1, 0)], encoding)


def column_at(text: str, character: int, encoding: Encoding) -> int:
    """The column at an editor's place; one in the middle of a character is at its beginning."""
    units = 0
    for index, sign in enumerate(text):
        units += width(sign, encoding)
        if units > character:
            return index + 1
    return len(text) + 1
