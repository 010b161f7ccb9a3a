"""How a counted place is written and read: `the uh of one`, `2 and`, `1/32 before the e of three`.

place = (length ("before" | "after"))? (("the")? part "of" number | number part?)
A beat's number is a word or a figure, `beat` may stand before it; `&` and `+` are and, `a` is uh.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, NoReturn

from stavewright.theory.errors import TheoryError
from stavewright.theory.length_words import read_length
from stavewright.theory.number_words import NUMBERS

_PARTS: Final = {
    "e": "e",
    "and": "and",
    "&": "and",
    "+": "and",
    "n": "and",
    "uh": "uh",
    "a": "uh",
    "ah": "uh",
    "trip": "trip",
    "let": "let",
    "la": "la",
    "li": "li",
    "ta": "ta",
    "first ta": "ta",
    "second ta": "second ta",
    "third ta": "third ta",
}
"""Words of a part as they may be written, and as they are printed."""

_NUMBER: Final = rf"(?:beat )?(?P<number>[0-9]{{1,2}}|{'|'.join(NUMBERS)})"
_PART: Final = rf"(?P<part>{'|'.join(re.escape(p) for p in sorted(_PARTS, key=len)[::-1])})"
_PLACES: Final = (
    re.compile(rf"(?:the )?{_PART} of {_NUMBER}"),
    re.compile(rf"{_NUMBER}(?: ?{_PART})?"),
)
_OFF: Final = re.compile(r"(?P<length>.+?)\s+(?P<side>before|after)\s+(?P<place>.+)", re.DOTALL)
_MILLISECONDS: Final = re.compile(r"(?P<number>[0-9]{1,5}(?:\.[0-9]{1,3})?) ?(?:ms|milliseconds?)")


@dataclass(frozen=True, slots=True)
class PlaceText:
    """A counted place as read: the beat, the part's printed word, what it is off by."""

    beat: int
    part: str
    offset: Fraction


def read_place(text: str, whole_note_ms: Fraction | None) -> PlaceText:
    """Read a counted place; raises TheoryError with its position in the text."""
    off = _OFF.fullmatch(text.strip())
    if off is None:
        beat, part = _read_beat(text, text, 0)
        return PlaceText(beat, part, Fraction(0))
    lead = len(text) - len(text.lstrip())
    beat, part = _read_beat(off["place"], text, lead + off.start("place"))
    try:
        length = _read_offset(off["length"], whole_note_ms)
    except TheoryError as fault:
        raise fault.within(text, lead) from None
    return PlaceText(beat, part, length if off["side"] == "after" else -length)


def _read_beat(place: str, text: str, start: int) -> tuple[int, str]:
    words = " ".join(place.lower().replace("-", " ").split())
    match = next(filter(None, (pattern.fullmatch(words) for pattern in _PLACES)), None)
    if match is None:
        _refuse(text, start, start + len(place))
    number = match["number"]
    beat = int(number) if number.isdecimal() else NUMBERS[number]
    if beat < 1:
        raise TheoryError("Beats are counted from one", text, start, start + len(place))
    return beat, _PARTS[match["part"]] if match["part"] else ""


def _refuse(text: str, start: int, end: int) -> NoReturn:
    raise TheoryError(
        "A place in the bar is counted as one, the e of one, the and of two, the uh of three; in "
        "threes as the trip or the let of one, in 6/8 as the la or the li of two",
        text,
        start,
        end,
    )


def _read_offset(words: str, whole_note_ms: Fraction | None) -> Fraction:
    match = _MILLISECONDS.fullmatch(words.strip().lower())
    if match is None:
        return read_length(words)
    if whole_note_ms is None:
        raise TheoryError("Milliseconds say where in the bar only at a tempo; none is known", words)
    return Fraction(match["number"]) / whole_note_ms
