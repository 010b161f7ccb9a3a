"""Reads `words:` and sets each syllable under its note."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from stavewright.notation.cursor import Cursor
from stavewright.notation.labels import label_end, unquoted
from stavewright.notation.limits import LONGEST_LABEL, MOST_EVENTS
from stavewright.notation.passage import Passage
from stavewright.notation.report import Report
from stavewright.notation.resolve_voices import onsets
from stavewright.notation.score import Syllable, Voice
from stavewright.notation.source import Span

_TOKEN: Final = re.compile(r":?\|+:?|(?:(?!:\|)[^\s\"|])+")


@dataclass(frozen=True, slots=True)
class Token:
    """One word of a line of words."""

    text: str
    span: Span
    hyphen: bool = False
    held: bool = False
    gap: bool = False
    bar: bool = False


def read_words(passage: Passage, report: Report) -> list[Token]:
    """Cut a line of words into syllables and bar signs."""
    cursor = Cursor(passage, report)
    tokens: list[Token] = []
    while True:
        while cursor.sign in (" ", "\n"):
            cursor.at += 1
        if not cursor.sign:
            return tokens
        if len(tokens) == MOST_EVENTS:
            cursor.at = len(cursor.text)
            report.add(passage.whole, f"A verse has at most {MOST_EVENTS} syllables")
            return tokens
        token = _token(cursor)
        if token is not None:
            tokens.append(token)


def _token(cursor: Cursor) -> Token | None:
    start = cursor.at
    if cursor.sign == '"':
        return _quoted(cursor, start)
    cursor.take(_TOKEN)
    span = cursor.since(start)
    plain = cursor.text[start : cursor.at]
    written = cursor.passage.written[start : cursor.at]
    if plain == "|":
        return Token("", span, bar=True)
    if "|" in plain:
        cursor.complain(start, "Among words, bars are parted by a single |", "|")
        return Token("", span, bar=True)
    if plain == ".":
        return Token("", span, held=True)
    if not plain.strip("_"):
        cursor.complain(start, "A syllable is held on by a full stop", ".")
        return Token("", span, held=True)
    if not plain.strip("-"):
        cursor.complain(start, "A hyphen follows its syllable without a space, as in Sum- mer")
        return None
    if plain == "rest":
        return Token("", span, gap=True)
    hyphen = plain.endswith("-") and len(plain) > 1
    if hyphen:
        written = written[:-1]
    return Token(_limited(cursor, start, written), span, hyphen)


def _quoted(cursor: Cursor, start: int) -> Token:
    end = label_end(cursor.passage.written, start)
    if end is None:
        cursor.at = cursor.line_end
        cursor.complain(start, "The quoted word is never closed with a quote")
        end = cursor.at
    else:
        cursor.at = end + 1
    text = _limited(cursor, start, unquoted(cursor.passage.written[start + 1 : end]))
    hyphen = cursor.eat("-")
    if cursor.sign not in ("", " ", "\n", "|"):
        after = cursor.at
        while cursor.sign not in ("", " ", "\n", "|"):
            cursor.at += 1
        cursor.complain(after, "After a quoted word stands a space")
    return Token(text, cursor.since(start), hyphen)


def _limited(cursor: Cursor, start: int, text: str) -> str:
    if len(text) > LONGEST_LABEL:
        cursor.complain(start, f"A syllable has at most {LONGEST_LABEL} characters")
        text = text[:LONGEST_LABEL]
    # A backslash at the end could not be written again: it would escape a closing quote.
    return text.rstrip("\\")


def set_words(tokens: Sequence[Token], voice: Voice | None, report: Report) -> tuple[Syllable, ...]:
    """Give each syllable its event: one a note that begins to sound."""
    events = voice.events if voice else ()
    notes = onsets(events)
    bars = [events[note].bar for note in notes]
    syllables: list[Syllable] = []
    place = 0
    checked = voice is not None
    for token in tokens:
        if token.bar:
            checked = checked and _check_bar(token, bars, place, report)
            continue
        event = notes[place] if place < len(notes) else None
        syllables.append(Syllable(token.text, token.hyphen, event, gap=token.gap, span=token.span))
        place += 1
    return tuple(syllables)


def _check_bar(token: Token, bars: Sequence[int], place: int, report: Report) -> bool:
    """Whether a bar sign stands where the voice has one; only the first slip is noted."""
    if place == 0 or place >= len(bars) or bars[place] > bars[place - 1]:
        return True
    bar = bars[place - 1]
    first = bars.index(bar)
    count = sum(1 for each in bars if each == bar)
    report.add(
        token.span,
        f"A bar sign stands here after {place - first} of the {count} notes of its bar",
    )
    return False
