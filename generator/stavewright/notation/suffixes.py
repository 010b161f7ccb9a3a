"""What may follow a note or an event: tie, emphasis, label, shift, marks. Any order, each once."""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.notation.cursor import Cursor
from stavewright.notation.labels import label_end, unquoted
from stavewright.notation.limits import LONGEST_LABEL, SMALLEST_VALUE
from stavewright.notation.near import near
from stavewright.notation.score import EventMark, HeadMark, Shift
from stavewright.notation.source import Span
from stavewright.notation.vocabulary import MARKS

SUFFIX_SIGNS: Final = '_*@."'
_HEAD_MARKS: Final = {mark.value: mark for mark in HeadMark}
_OTHER_MARKS: Final = {
    "marcato": None,
    "portato": None,
    "pause": "fermata",
    "hold": "fermata",
    "stacc": "staccato",
    "ten": "tenuto",
    "tr": "trill",
    "roll": "arpeggio",
    "arpeggiato": "arpeggio",
}
"""Words for marks, and the mark that has another name here; None for marks that are not here."""
_MARK: Final = re.compile(r"\.(?P<word>[A-Za-z-]*)")
_SHIFT: Final = re.compile(
    r"@(?P<sign>[+-]?)(?:(?P<top>\d{1,4})/(?P<bottom>\d{1,4})|(?P<ms>\d{1,5}(?:\.\d{1,3})?)ms)"
)


@dataclass(slots=True)
class Suffixes:
    """What was read after one note, one event, or one pair of parentheses."""

    tied: bool = False
    emphasised: bool = False
    shift: Shift | None = None
    label: str | None = None
    label_span: Span | None = None
    head_marks: frozenset[HeadMark] = frozenset()
    event_marks: frozenset[EventMark] = frozenset()


NO_SUFFIXES: Final = Suffixes()
"""What most notes have. Nothing is ever written into it."""


def read_suffixes(cursor: Cursor) -> Suffixes:
    """Read all suffixes that follow without a space."""
    sign = cursor.sign
    if not sign or sign not in SUFFIX_SIGNS:
        return NO_SUFFIXES
    found = Suffixes()
    while cursor.sign and cursor.sign in SUFFIX_SIGNS:
        _READERS[cursor.sign](cursor, found)
    return found


def read_label(cursor: Cursor) -> str:
    """Read a label; the cursor stands on its opening quote."""
    start = cursor.at
    end = label_end(cursor.passage.written, start)
    if end is None:
        cursor.at = cursor.line_end
        cursor.complain(start, "The label is never closed with a quote")
        return _limited(cursor, start, cursor.at)
    cursor.at = end + 1
    return _limited(cursor, start, end)


def _limited(cursor: Cursor, start: int, end: int) -> str:
    text = unquoted(cursor.passage.written[start + 1 : end])
    if len(text) > LONGEST_LABEL:
        cursor.complain(start, f"A label has at most {LONGEST_LABEL} characters")
        text = text[:LONGEST_LABEL]
    # A backslash at the end could not be written again: it would escape the closing quote.
    return text.rstrip("\\")


def _tie(cursor: Cursor, found: Suffixes) -> None:
    start = cursor.at
    cursor.at += 1
    if found.tied:
        cursor.complain(start, "The tie is said twice", "")
    found.tied = True


def _emphasis(cursor: Cursor, found: Suffixes) -> None:
    start = cursor.at
    cursor.at += 1
    if found.emphasised:
        cursor.complain(start, "The emphasis is said twice", "")
    found.emphasised = True


def _label(cursor: Cursor, found: Suffixes) -> None:
    start = cursor.at
    text = read_label(cursor)
    if found.label is not None:
        cursor.complain(start, "One note has one label; this is a second", "")
        return
    found.label, found.label_span = text, cursor.since(start)


def _shift(cursor: Cursor, found: Suffixes) -> None:
    start = cursor.at
    match = cursor.take(_SHIFT)
    if match is None or not (cursor.at_break or cursor.sign in SUFFIX_SIGNS + "&"):
        cursor.at = max(cursor.at, start + 1)
        while not cursor.at_break and cursor.sign not in SUFFIX_SIGNS + "&":
            cursor.at += 1
        cursor.complain(
            start, "A shift is a part of a whole note or milliseconds, such as @-1/32 or @+12ms"
        )
        return
    if found.shift is not None:
        cursor.complain(start, "The shift is said twice", "")
        return
    found.shift = _meaning(cursor, start, match)


def _meaning(cursor: Cursor, start: int, match: re.Match[str]) -> Shift | None:
    if not match["sign"]:
        cursor.complain(start, "A shift carries its sign: - is early, + is late")
        return None
    sign = -1 if match["sign"] == "-" else 1
    if match["ms"]:
        return Shift(milliseconds=sign * Fraction(match["ms"]))
    bottom = int(match["bottom"])
    if not 0 < bottom <= SMALLEST_VALUE:
        cursor.complain(start, f"A shift is measured in parts from 1/1 to 1/{SMALLEST_VALUE}")
        return None
    return Shift(note_value=sign * Fraction(int(match["top"]), bottom))


def _mark(cursor: Cursor, found: Suffixes) -> None:
    start = cursor.at
    match = cursor.take(_MARK)
    word = match["word"] if match else ""
    if word not in MARKS:
        nearest = _OTHER_MARKS[word] if word in _OTHER_MARKS else near(word, MARKS)
        known = ", ".join(f".{mark}" for mark in MARKS)
        message = f"No mark is called {'.' + word!r}; there are {known}"
        cursor.complain(start, message, f".{nearest}" if nearest else None)
        return
    if word in (mark.value for mark in (*found.head_marks, *found.event_marks)):
        cursor.complain(start, f"The mark .{word} is said twice", "")
    if word in _HEAD_MARKS:
        found.head_marks |= {_HEAD_MARKS[word]}
    else:
        found.event_marks |= {EventMark(word)}


_READERS: Final = {"_": _tie, "*": _emphasis, '"': _label, "@": _shift, ".": _mark}
