"""Reads the lengths and sizes that claims state: `1/4 + 1/8`, `dotted quarter`, `10 half steps`."""

import re
from fractions import Fraction
from typing import Final

from stavewright.notation.claim import Size, Values
from stavewright.notation.values import UnreadError, read_value
from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import MOST_DOTS, NoteValue

_SIZE: Final = re.compile(
    r"(?P<count>\d{1,4}(?:\.\d{1,2})?)\s+"
    r"(?:(?P<half>half[\s-]?steps?|semitones?)|(?P<whole>whole[\s-]?steps?|tones?)|cents?)"
)
_TERM: Final = re.compile(r"(?:(?P<times>\d{1,2})\s*[x×*]\s*)?(?P<value>\S.*?)\s*")
_PARTS: Final = re.compile(r"(?P<part>\d{1,3}/\d{1,3})\s*[x×*]\s*(?P<value>\d{1,3}/\d{1,3})")
_BASES: Final = tuple(Fraction(2) / 2**power for power in range(9))
_BY_NAME: Final = {
    shape.name.replace("-", " "): shape.length
    for shape in (NoteValue(base, dots) for base in _BASES for dots in range(MOST_DOTS + 1))
}
_MOST_TERMS: Final = 64


def read_size(text: str) -> Size | None:
    """Read a size in half steps, whole steps or cents; None for anything else."""
    match = _SIZE.fullmatch(text)
    if match is None:
        return None
    count = Fraction(match["count"])
    return Size(count * (100 if match["half"] else 200 if match["whole"] else 1))


def read_values(text: str) -> Values:
    """Read note values joined by `+`; raises TheoryError."""
    values: list[Fraction] = []
    at = 0
    for term in text.split("+"):
        start = at + len(term) - len(term.lstrip())
        values += _term(text, term.strip(), start)
        at += len(term) + 1
        if len(values) > _MOST_TERMS:
            raise TheoryError(f"At most {_MOST_TERMS} note values stand in a row", text)
    return Values(tuple(values))


def _term(text: str, term: str, start: int) -> list[Fraction]:
    if parts := _PARTS.fullmatch(term):
        raise _part_of(text, parts, start)
    match = _TERM.fullmatch(term)
    if match is None:
        raise TheoryError("Here stands a note value, such as 1/4", text, start, start)
    times = int(match["times"] or 1)
    named = _named(match["value"])
    if named is not None:
        return [named] * times
    place = start + match.start("value"), start + match.end("value")
    try:
        return [read_value(match["value"])] * times
    except UnreadError as error:
        raise TheoryError(error.message, text, *place, error.suggestion) from None


def _part_of(text: str, parts: re.Match[str], start: int) -> TheoryError:
    """The error of a value that is taken a part of a time."""
    message = "A value is taken a whole number of times, as in 3 x 1/16"
    try:
        meant = str(Fraction(parts["part"]) * Fraction(parts["value"]))
    except ZeroDivisionError:
        return TheoryError(message, text, start, start + len(parts[0]))
    return TheoryError(message, text, start, start + len(parts[0]), meant)


def _named(words: str) -> Fraction | None:
    name = " ".join(words.lower().replace("-", " ").split()).removesuffix(" note")
    plural = name.removesuffix("s")
    return _BY_NAME.get(name, _BY_NAME.get(plural.replace("halve", "half")))
