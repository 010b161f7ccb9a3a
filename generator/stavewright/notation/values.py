"""Reads what fields and timed lines have in common: note values, tempos, words in parentheses."""

import re
from fractions import Fraction
from typing import Final

from stavewright.notation.limits import (
    FASTEST_TEMPO,
    LONGEST_VALUE,
    SMALLEST_VALUE,
)
from stavewright.notation.score import Tempo

VALUE: Final = re.compile(r"(?P<top>\d+)/(?P<bottom>\d+)")
_TEMPO: Final = re.compile(r"(?P<unit>\d+/\d+)\s+at\s+(?P<count>\d{1,4}(?:\.\d{1,3})?)")
_OTHER_TEMPO: Final = re.compile(
    r"(?P<unit>\d{1,2}/\d{1,2})\s*(?:=|at|@|:)?\s*(?P<count>\d{1,4})(?:\s*(?:bpm|BPM))?"
)
_BARE_TEMPO: Final = re.compile(r"(?P<count>\d{1,4})(?:\s*(?:bpm|BPM))?")


class UnreadError(Exception):
    """Text with no meaning here, with what to say of it."""

    def __init__(self, message: str, suggestion: str | None = None) -> None:
        super().__init__(message, suggestion)
        self.message = message
        self.suggestion = suggestion


def read_value(text: str) -> Fraction:
    """Read `1/4`; raises UnreadError."""
    match = VALUE.fullmatch(text)
    if match is None:
        raise UnreadError(
            "A note value is a part of a whole note, such as 1/4 or 3/8", _value_for(text)
        )
    if max(len(match["top"]), len(match["bottom"])) > len(str(SMALLEST_VALUE)):
        raise UnreadError(f"A note value lies between 1/{SMALLEST_VALUE} and {LONGEST_VALUE}/1")
    top, bottom = int(match["top"]), int(match["bottom"])
    if not (0 < bottom <= SMALLEST_VALUE and 0 < top <= LONGEST_VALUE * bottom):
        raise UnreadError(f"A note value lies between 1/{SMALLEST_VALUE} and {LONGEST_VALUE}/1")
    return Fraction(top, bottom)


def _value_for(text: str) -> str | None:
    """What a value written in another way means here: `4` a quarter, `1/4.` a dotted one."""
    match = re.fullmatch(r"(?:1/)?(?P<bottom>1|2|4|8|16|32|64)(?P<dots>\.{0,2})", text)
    if match is None:
        return None
    dots = len(match["dots"])
    value = Fraction(1, int(match["bottom"])) * (2 - Fraction(1, 2**dots))
    return show_value(value)


def show_value(value: Fraction) -> str:
    """Write a value: `1/4`, and `1/1` for a whole note."""
    return f"{value.numerator}/{value.denominator}"


def read_tempo(text: str) -> Tempo:
    """Read `1/4 at 96`; raises UnreadError."""
    words = text.strip()
    match = _TEMPO.fullmatch(words)
    if match is None:
        raise UnreadError(
            "A tempo is a note value and how many of them a minute has, such as 1/4 at 96",
            _tempo_for(words),
        )
    count = Fraction(match["count"])
    if not 1 <= count <= FASTEST_TEMPO:
        raise UnreadError(f"A minute has from 1 to {FASTEST_TEMPO} of them")
    return Tempo(read_value(match["unit"]), count)


def _tempo_for(words: str) -> str | None:
    if match := _OTHER_TEMPO.fullmatch(words):
        unit, count = match["unit"], int(match["count"])
    elif match := _BARE_TEMPO.fullmatch(words):
        unit, count = "1/4", int(match["count"])
    else:
        return None
    wanted = f"{unit} at {count}"
    try:
        read_tempo(wanted)
    except UnreadError:
        return None
    return wanted


def show_tempo(tempo: Tempo) -> str:
    """Write a tempo as it is read."""
    return f"{show_value(tempo.unit)} at {show_decimal(tempo.per_minute)}"


def show_decimal(number: Fraction) -> str:
    """Write a number that was read with at most three decimals."""
    thousandths = abs(number) * 1000
    whole, rest = divmod(int(thousandths), 1000)
    digits = f".{rest:03d}".rstrip("0") if rest else ""
    return f"{'-' if number < 0 else ''}{whole}{digits}"
