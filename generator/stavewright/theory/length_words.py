"""Lengths in a player's words: `dotted quarter`, `triplet sixteenth`, and sums of them read back.

Lengths are Fractions of a whole note. A note in a triplet is named by the value that is printed: a
triplet eighth lasts 1/12. In a text `thirty-second-note triplet` names one note of the group, 1/48
of a whole note, as players mean it when they say how far apart two hits are.
"""

from __future__ import annotations

import difflib
import re
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Final, NoReturn

from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import MOST_DOTS, NoteValue, parse_length
from stavewright.theory.number_words import NUMBERS
from stavewright.theory.tuplet_ratio import TupletRatio, lasting

if TYPE_CHECKING:
    from collections.abc import Iterator

_GROUPS: Final = {
    "triplet": TupletRatio(3, 2),
    "quintuplet": TupletRatio(5, 4),
    "septuplet": TupletRatio(7, 4),
}
_COUNTS: Final = NUMBERS | {"a": 1, "an": 1}
_COUNTED: Final = re.compile(r"(?P<count>[a-z]+|[0-9]{1,3}) (?P<rest>.+)")
_GROUP_LAST: Final = re.compile(r"(?P<value>.+?)(?: note)? (?P<group>[a-z]+)")
_JOINTS: Final = re.compile(r"\s*(?:,\s*(?:and\s+)?|\+|\band\b)\s*")


def length_words(length: Fraction) -> str:
    """Name a length without an article: `eighth`, `triplet sixteenth`.

    A length that no single note shows in a triplet, quintuplet or septuplet is given as a part of
    the whole note: `5/8 of a whole note`.
    """
    return _names().get(length, f"{length} of a whole note")


def has_name(length: Fraction) -> bool:
    """Whether one note, if need be in a group of three, five or seven, lasts so long."""
    return length in _names()


def length_phrase(length: Fraction) -> str:
    """Name a length with its article where one is said: `an eighth`, `5/8 of a whole note`."""
    words = length_words(length)
    if not has_name(length):
        return words
    return f"{'an' if words.startswith('eighth') else 'a'} {words}"


def read_length(text: str) -> Fraction:
    """Read `a dotted quarter`, `thirty-second-note triplet` or `1/32`; raises TheoryError."""
    (length,) = _read_counted(text, text, 0, most=1)
    return length


def read_lengths(text: str) -> tuple[Fraction, ...]:
    """Read `an eighth and two sixteenths` as 1/8, 1/16, 1/16; raises TheoryError with the place."""
    found: list[Fraction] = []
    start = 0
    for joint in [*_JOINTS.finditer(text), None]:
        end = joint.start() if joint else len(text)
        found += _read_counted(text[start:end], text, start, most=999)
        start = joint.end() if joint else end
    return tuple(found)


def _read_counted(part: str, text: str, start: int, most: int) -> list[Fraction]:
    """Read one count and value: `two sixteenths`, `an eighth`, `1/8`."""
    words = _plain(part)
    fraction = words.removesuffix(" of a whole note")
    if re.fullmatch(r"[0-9/ ]+", fraction):
        try:
            return [parse_length(fraction)]
        except TheoryError as fault:
            raise TheoryError(fault.message, text, start, start + len(part)) from None
    count, rest = 1, words
    counted = _COUNTED.fullmatch(words)
    if counted is not None:
        number = _COUNTS.get(counted["count"])
        if number is None and counted["count"].isdecimal():
            number = int(counted["count"])
        if number is not None:
            count, rest = number, counted["rest"]
    length = _value(rest) or _value(rest.removesuffix("s"))
    if length is None or not 1 <= count <= most:
        _refuse(part, text, start, rest)
    return [length] * count


def _value(words: str) -> Fraction | None:
    """Find a value by its words, the group's name before it or after it."""
    words = words.removesuffix(" note")
    if words in _lengths():
        return _lengths()[words]
    match = _GROUP_LAST.fullmatch(words)
    if match is None or match["group"] not in _GROUPS:
        return None
    return _lengths().get(f"{match['group']} {match['value']}")


def _refuse(part: str, text: str, start: int, rest: str) -> NoReturn:
    near = difflib.get_close_matches(rest, _lengths(), 1, 0.8)
    raise TheoryError(
        "A note value is said as an eighth, a dotted quarter, a triplet sixteenth, or as a part of "
        "a whole note such as 3/16",
        text,
        start,
        start + len(part),
        _names()[_lengths()[near[0]]] if near else None,
    )


def _plain(text: str) -> str:
    """Bring words to the form of the table: small letters, one space for each gap or hyphen."""
    return " ".join(text.lower().replace("-", " ").split())


@cache
def _names() -> dict[Fraction, str]:
    """The name of every length that has one; plain notes before those in groups."""
    found: dict[Fraction, str] = {}
    for name, length in _named():
        found.setdefault(length, name)
    return found


@cache
def _lengths() -> dict[str, Fraction]:
    """The length of every name, hyphens as spaces."""
    return {_plain(name): length for name, length in _named()}


def _named() -> Iterator[tuple[str, Fraction]]:
    """Give every name with its length; in groups players speak of at most one dot."""
    for group, most in ("", MOST_DOTS), *((name, 1) for name in _GROUPS):
        ratios = (_GROUPS[group],) if group else ()
        for dots in range(most + 1):
            for power in range(-1, 9):
                value = NoteValue(Fraction(2) ** -power, dots)
                yield f"{group} {value.name}".strip(), lasting(value.length, ratios)
