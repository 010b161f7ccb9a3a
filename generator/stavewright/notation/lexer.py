"""Reads a timed line into a flat row of items.

Every timed line has one grammar: note values, bar signs, words, groups, and in between what the
line is about. A `Dialect` says what that is, and which words the line may use.
"""

import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Final

from stavewright.notation.cursor import Cursor
from stavewright.notation.limits import MOST_EVENTS
from stavewright.notation.near import listed, near
from stavewright.notation.passage import Passage, Stretch
from stavewright.notation.report import Report, sentence
from stavewright.notation.score import BarSign
from stavewright.notation.sounds import Instrument, read_sound
from stavewright.notation.source import SourceLine, Span
from stavewright.notation.suffixes import SUFFIX_SIGNS
from stavewright.notation.symbols import read_chord, read_figures, read_numeral
from stavewright.notation.values import UnreadError, read_value
from stavewright.notation.vocabulary import EVENT_NAMES
from stavewright.notation.words_in_line import read_group_word, read_ratio
from stavewright.notation.written import (
    Barline,
    Close,
    Group,
    Item,
    LineStart,
    Open,
    Same,
    Sound,
    Split,
    Symbol,
    Value,
)

_WORD: Final = re.compile(
    r" *([^ \n)|\"]{1,60}+(?=[ \n)|]|$)"
    r"(?! (?:flat|sharp))"  # the A of `A flat` is no chord of A
    r"|\|(?=[ \n]|$))"
)
"""What can be read without a look at what stands around it; no labels, which are as written."""
_BARLINE: Final = re.compile(r"[|:]+\]?")
_OTHER_BARLINES: Final = {
    ":||": ":|",
    "||:": "|:",
    ":||:": ":|:",
    "|]": "|||",
    "||]": "|||",
    "::": ":|:",
    ":|||": ":|",
    "|||:": "|:",
    ":|]": ":|",
    "||||": "|||",
}
_VALUE: Final = re.compile(r"\d+/\d+[^\s)|]*|\d+\.?(?=[\s|]|$)")
_RATIO: Final = re.compile(r"(?P<actual>\d+)(?::(?P<normal>\d+))?\(")
_GLUED: Final = re.compile(r"(?P<value>\d+/\d+)(?P<rest>[A-Gx(].*|rest|space)")
_CENTS: Final = re.compile(r"[A-Ha-h][#b♯♭x𝄪𝄫♮]*\([+-]?\d+\)")
_GROUP_WORD: Final = re.compile(r"(?!(?:rest|space)\()(?P<word>[a-z][a-z-]*)\(")
_SPACED_WORD: Final = re.compile(
    r"(?P<word>clef|dynamic|ending|grace|key|slur|tempo|time|\d+:\d+)[ ]+(?=\()"
)
_OTHER_GROUP_WORDS: Final = {
    "triplet": "3:2",
    "tuplet": "3:2",
    "volta": "ending",
    "meter": "time",
    "metre": "time",
    "legato": "slur",
    "appoggiatura": "grace",
    "acciaccatura": "grace",
}
"""Words for groups and changes, and what is written here."""
_SAME: Final = re.compile(r"same(?=[\s|:)]|$)")
_ENDING_SIGN: Final = re.compile(r"\[\d[\d,. ]*")


# Compared as itself, for its words are looked up by it.
@dataclass(frozen=True, slots=True, eq=False)
class Dialect:
    """What one kind of timed line may hold."""

    what: str
    """What its events are, in the plural."""
    words: frozenset[str]
    """The words with parentheses that it takes."""
    read_event: Callable[[Cursor], Item | None]
    groups: bool = False
    """Whether groups in a ratio may stand in it."""
    bare_numbers: bool = False
    """Whether a number alone is an event, or a slip for one, and not for a note value."""


CHORDS: Final = Dialect("chords", frozenset({"key", "time", "tempo", "ending", "same"}), read_chord)
NUMERALS: Final = Dialect(
    "numerals",
    frozenset({"key", "ending", "same"}),
    read_numeral,
    bare_numbers=True,
)
BASS_FIGURES: Final = Dialect(
    "figures", frozenset({"ending", "same"}), read_figures, bare_numbers=True
)


_VOICE_WORDS: Final = EVENT_NAMES - {"rest", "space"}


@lru_cache(maxsize=64)
def voice_dialect(instrument: Instrument) -> Dialect:
    """Give the dialect of a voice or of `drums`."""
    read_event = partial(read_sound, instrument=instrument)
    return Dialect("notes", _VOICE_WORDS, read_event, groups=True)


def read_items(passage: Passage, dialect: Dialect, report: Report) -> list[Item]:
    """Read a line; what cannot be read is noted, and stands as a space where an event would."""
    cursor = Cursor(passage, report)
    items: list[Item] = [LineStart(passage.span(0, 0))]
    while len(items) <= 2 * MOST_EVENTS:
        word = _WORD.match(cursor.text, cursor.at)
        known = _known(word[1], dialect) if word else None
        if word and known:
            items.append(known.at(passage.span(*word.span(1))))
            cursor.at = word.end()
            continue
        sign = cursor.sign
        if not sign:
            return items
        if sign in " \n":
            cursor.at += 1
            if sign == "\n":
                items.append(LineStart(passage.span(cursor.at, cursor.at), continues=True))
        elif item := _next(cursor, dialect):
            items.append(item)
    rest = cursor.text[cursor.at :].lstrip(" \n")
    if rest:
        cursor.at = len(cursor.text) - len(rest)
        cursor.complain(cursor.at, f"A line has at most {MOST_EVENTS} events; the rest is unread")
    return items


# Music says the same few words again and again, and reading them is most of the work.
@lru_cache(maxsize=4096)
def _known(word: str, dialect: Dialect) -> Value | Barline | Sound | Symbol | None:
    """What a word means wherever it stands; None where anything has to be said of it."""
    report = Report()
    cursor = Cursor(Passage("", [Stretch(SourceLine(word, 1, 1), 0, len(word))]), report)
    item = _next(cursor, dialect)
    is_whole = cursor.at == len(word) and not report.findings
    return item if is_whole and isinstance(item, Value | Barline | Sound | Symbol) else None


def _next(cursor: Cursor, dialect: Dialect) -> Item | None:
    start = cursor.at
    sign = cursor.sign
    if sign.isupper():
        # Most items are notes or chords, and no word of the language begins with a capital.
        return dialect.read_event(cursor)
    if sign in "|:[":
        return _barline(cursor)
    if sign == ")":
        return _close(cursor, start)
    return _number_or_word(cursor, dialect, start)


def _number_or_word(cursor: Cursor, dialect: Dialect, start: int) -> Item | None:
    if spaced := cursor.take(_SPACED_WORD):
        return _spaced(cursor, dialect, start, spaced["word"])
    if cursor.sign.isdecimal():
        return _number(cursor, dialect, start)
    if not _CENTS.match(cursor.text, start) and (match := cursor.take(_GROUP_WORD)):
        return _group_word(cursor, dialect, start, match["word"])
    if cursor.take(_SAME):
        return Same(1, cursor.since(start))
    return dialect.read_event(cursor)


def _spaced(cursor: Cursor, dialect: Dialect, start: int, word: str) -> Item | None:
    """Read a word whose `(` stands after a space; the cursor stands before that `(`."""
    cursor.complain(start, f"No space stands between {word} and its (", word)
    cursor.at += 1
    actual, is_ratio, normal = word.partition(":")
    if is_ratio:
        return _ratio(cursor, dialect, start, actual, normal)
    return _group_word(cursor, dialect, start, word)


def _barline(cursor: Cursor) -> Item | None:
    start = cursor.at
    if match := cursor.take(_ENDING_SIGN):
        passes = " ".join(re.findall(r"\d{1,2}", match[0]))
        cursor.complain(start, "An ending is written as ending(1)", f"ending({passes})")
        return None
    match = cursor.take(_BARLINE)
    text = match[0] if match else cursor.sign
    cursor.at = max(cursor.at, start + 1)
    if text in _SIGNS:
        return Barline(_SIGNS[text], cursor.since(start))
    known = listed(sign.value for sign in BarSign)
    meant = _OTHER_BARLINES.get(text)
    cursor.complain(start, f"{text[:40]!r} is no bar sign; there are {known}", meant)
    return Barline(_SIGNS[meant], cursor.since(start)) if meant else None


_SIGNS: Final = {sign.value: sign for sign in BarSign}


def _close(cursor: Cursor, start: int) -> Item:
    cursor.at += 1
    if cursor.eat("("):
        return Split(cursor.since(start))
    closing = Close(cursor.since(start))
    if cursor.sign and cursor.sign in SUFFIX_SIGNS:
        after = cursor.at
        cursor.skip_event()
        cursor.complain(
            after, "A group takes no sign of its own; write it after a note, before the )"
        )
    return closing


def _number(cursor: Cursor, dialect: Dialect, start: int) -> Item | None:
    if ratio := cursor.take(_RATIO):
        return _ratio(cursor, dialect, start, ratio["actual"], ratio["normal"])
    is_value = _VALUE.match(cursor.text, start)
    if is_value is None or (dialect.bare_numbers and "/" not in is_value[0]):
        return dialect.read_event(cursor)
    cursor.at = is_value.end()
    # A bar sign may follow without a space; its colon was taken for a part of the value.
    text = is_value[0].rstrip(":")
    cursor.at -= len(is_value[0]) - len(text)
    try:
        return Value(read_value(text), cursor.since(start))
    except UnreadError as error:
        glued = _GLUED.fullmatch(text)
        message, suggestion = error.message, error.suggestion
        if glued:
            message = "A space stands between a value and what follows"
            suggestion = f"{glued['value']} {glued['rest']}"
        cursor.complain(start, sentence(message), suggestion)
        span = cursor.since(start)
        if glued:
            cursor.at = start + len(glued["value"])
        return _meant(suggestion, span)


def _ratio(cursor: Cursor, dialect: Dialect, start: int, actual: str, normal: str | None) -> Item:
    opened = read_ratio(cursor, start, actual, normal)
    if dialect.groups:
        return opened
    cursor.complain(
        start, "Groups in a ratio stand in voices; here a value may be any fraction, as in 1/6"
    )
    return Open(Group.UNKNOWN, cursor.since(start))


def _meant(suggestion: str | None, span: Span) -> Value:
    """Go on with the value that was probably meant, so that one slip stays one finding."""
    if suggestion is not None:
        with suppress(UnreadError):
            return Value(read_value(suggestion.split()[0]), span)
    return Value(None, span)


def _group_word(cursor: Cursor, dialect: Dialect, start: int, word: str) -> Item | None:
    if word in dialect.words:
        return read_group_word(cursor, start, word)
    if word in _VOICE_WORDS:
        cursor.argument(start)
        cursor.complain(start, f"The word {word}( ) stands in a voice, not among {dialect.what}")
        return None
    other = _OTHER_GROUP_WORDS.get(word)
    if other == "3:2" and dialect.groups:
        cursor.complain(start, "A group says its ratio: 3:2( is three in the time of two", "3:2(")
        return Open(Group.RATIO, cursor.since(start), 3, 2)
    meant = other if other in dialect.words else near(word, dialect.words)
    message = f"No word is called {word[:40]!r}; there are {listed(sorted(dialect.words))}"
    cursor.complain(start, message, f"{meant}(" if meant else None)
    return (
        read_group_word(cursor, start, meant) if meant else Open(Group.UNKNOWN, cursor.since(start))
    )
