"""Reads the words with parentheses of timed lines: `key(G major)`, `slur(`, `same(3)`."""

import re
from collections.abc import Callable
from typing import Final

from stavewright.notation.clefs import CLEFS, OTHER_CLEF_NAMES
from stavewright.notation.cursor import Cursor
from stavewright.notation.limits import LARGEST_RATIO, MOST_BARS, MOST_DIGITS, MOST_PASSES
from stavewright.notation.near import listed, near
from stavewright.notation.report import sentence
from stavewright.notation.values import UnreadError, read_tempo
from stavewright.notation.vocabulary import DYNAMICS
from stavewright.notation.written import (
    ClefSign,
    Dynamic,
    Ending,
    Group,
    Item,
    KeySign,
    MeterSign,
    Open,
    Same,
    TempoSign,
)
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key
from stavewright.theory.meter import Meter
from stavewright.theory.numeral import Numeral

_PIVOT: Final = re.compile(r'(?P<sign> *= *)(?P<numeral>[^\s|"]*)')


def read_group_word(cursor: Cursor, start: int, word: str) -> Item | None:
    """Read what a word with parentheses says; the cursor stands after its `(`."""
    if word in ("slur", "grace"):
        return Open(Group(word), cursor.since(start))
    argument = cursor.argument(start)
    return None if argument is None else _READERS[word](cursor, start, *argument)


def read_ratio(cursor: Cursor, start: int, actual: str, normal: str | None) -> Item:
    """Read the opening of a group in a ratio; the cursor stands after its `(`."""
    plain = Open(Group.UNKNOWN, cursor.since(start))
    if len(actual) > MOST_DIGITS or len(normal or "") > MOST_DIGITS:
        cursor.complain(start, f"The numbers of a ratio run from 1 to {LARGEST_RATIO}")
        return plain
    top = int(actual)
    if normal is None:
        usual = 1 << max(0, top.bit_length() - 1)
        known = 2 < top <= LARGEST_RATIO and top != usual
        cursor.complain(
            start,
            "A group says its ratio: 3:2( is three in the time of two",
            f"{top}:{usual}(" if known else None,
        )
        return Open(Group.RATIO, cursor.since(start), top, usual) if known else plain
    bottom = int(normal)
    if not (1 <= top <= LARGEST_RATIO and 1 <= bottom <= LARGEST_RATIO):
        cursor.complain(start, f"The numbers of a ratio run from 1 to {LARGEST_RATIO}")
        return plain
    if top == bottom:
        cursor.complain(start, f"A ratio of {top}:{bottom} changes nothing; leave the group out")
        return plain
    return Open(Group.RATIO, cursor.since(start), top, bottom)


def _key(cursor: Cursor, start: int, first: int, end: int) -> Item | None:
    closed = cursor.at
    pivot = cursor.take(_PIVOT)
    if pivot and pivot["sign"] != "=":
        plain = f"{cursor.text[start:closed]}={pivot['numeral']}"
        cursor.complain(start, "A pivot is written without spaces", plain)
    try:
        key = Key.parse(cursor.text[first:end])
    except TheoryError as error:
        cursor.report.theory(error, cursor.passage, first, end, rule="key-unknown")
        return None
    numeral = None
    if pivot:
        try:
            numeral = Numeral.parse(pivot["numeral"])
        except TheoryError as error:
            place = pivot.span("numeral")
            cursor.report.theory(error, cursor.passage, *place, rule="numeral-symbol")
    return KeySign(key, cursor.since(start), numeral)


def _time(cursor: Cursor, start: int, first: int, end: int) -> Item | None:
    try:
        return MeterSign(Meter.parse(cursor.text[first:end]), cursor.since(start))
    except TheoryError as error:
        cursor.report.theory(error, cursor.passage, first, end)
        return None


def _tempo(cursor: Cursor, start: int, first: int, end: int) -> Item | None:
    try:
        return TempoSign(read_tempo(cursor.text[first:end]), cursor.since(start))
    except UnreadError as error:
        place = cursor.passage.span(first, end)
        cursor.report.add(place, sentence(error.message), error.suggestion)
        return None


def _clef(cursor: Cursor, start: int, first: int, end: int) -> Item | None:
    word = cursor.text[first:end].strip()
    if word in CLEFS:
        return ClefSign(word, cursor.since(start))
    cursor.report.add(cursor.passage.span(first, end), *unknown_clef(word))
    return None


def unknown_clef(word: str) -> tuple[str, str | None]:
    """Say that no clef has this name: (message, the nearest clef)."""
    nearest = OTHER_CLEF_NAMES.get(word.lower()) or near(word, CLEFS)
    return f"No clef is called {word[:40]!r}; there are {listed(CLEFS)}", nearest


def _ending(cursor: Cursor, start: int, first: int, end: int) -> Item | None:
    passes = numbers(cursor.text[first:end])
    if passes and max(passes) <= MOST_PASSES and min(passes) > 0:
        return Ending(passes, cursor.since(start))
    span = cursor.passage.span(first, end)
    message = f"An ending names its passes, numbers from 1 to {MOST_PASSES}, such as ending(1 2)"
    written = re.sub(r"\b(\d{1,2})-(\d{1,2})\b", _passes_between, cursor.text[first:end])
    spaced = re.fullmatch(r"\d{1,2}(?:[.,\s]\s*\d{1,2})*[.,]?", written)
    found = numbers(re.sub(r"[.,]", " ", spaced[0])) if spaced else ()
    good = found and all(0 < number <= MOST_PASSES for number in found)
    cursor.report.add(span, message, " ".join(map(str, found)) if good else None)
    return None


def _passes_between(match: re.Match[str]) -> str:
    """Write out `1-3`: 1 2 3."""
    return " ".join(str(number) for number in range(int(match[1]), int(match[2]) + 1))


def numbers(text: str) -> tuple[int, ...]:
    """Read whole numbers between spaces; nothing where one is no number of sane size."""
    words = text.split()
    if not all(re.fullmatch(r"[0-9]{1,6}", word) for word in words):
        return ()
    return tuple(int(word) for word in words)


def _same(cursor: Cursor, start: int, first: int, end: int) -> Item | None:
    times = numbers(cursor.text[first:end])
    if len(times) == 1 and 1 <= times[0] <= MOST_BARS:
        return Same(times[0], cursor.since(start))
    message = f"`same(3)` repeats the bar before three times; at most {MOST_BARS} bars are drawn"
    cursor.report.add(cursor.passage.span(first, end), message)
    return Same(1, cursor.since(start))


def _dynamic(cursor: Cursor, start: int, first: int, end: int) -> Item | None:
    word = cursor.text[first:end].strip()
    if word in DYNAMICS:
        return Dynamic(word, cursor.since(start))
    message = f"A dynamic is one of {', '.join(DYNAMICS)}"
    cursor.report.add(cursor.passage.span(first, end), message, near(word, DYNAMICS))
    return None


_READERS: Final[dict[str, Callable[[Cursor, int, int, int], Item | None]]] = {
    "key": _key,
    "time": _time,
    "tempo": _tempo,
    "clef": _clef,
    "ending": _ending,
    "same": _same,
    "dynamic": _dynamic,
}
