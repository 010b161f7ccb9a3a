"""Reads chord symbols, Roman numerals and figured bass, each with its label."""

import re
from collections.abc import Callable
from typing import Final

from stavewright.notation.cursor import Cursor
from stavewright.notation.limits import LONGEST_LABEL, MOST_DIGITS
from stavewright.notation.near import near
from stavewright.notation.score import BassFigure
from stavewright.notation.suffixes import read_label
from stavewright.notation.vocabulary import JUMPS
from stavewright.notation.written import Symbol
from stavewright.theory.chord import Chord
from stavewright.theory.errors import TheoryError
from stavewright.theory.numeral import Numeral

SPACE: Final = "space"
"""The text of a silent symbol that is not printed."""
_GAPS: Final = ("rest", SPACE)
_FIGURE: Final = re.compile(r"(?P<sign>##|bb|#|b|n|♯|♭|♮|x|𝄪|𝄫)?(?P<number>\d{0,3})")
_FIGURE_SIGNS: Final = {"♯": "#", "♭": "b", "♮": "n", "x": "##", "𝄪": "##", "𝄫": "bb"}
_SIGN_AFTER: Final = re.compile(r"(?P<number>\d{1,2})(?P<sign>##|bb|#|b|n|\+|♯|♭|♮)")
_STACKED_DIGITS: Final = re.compile(r"[2-9]{2,4}")
_HIGHEST_FIGURE: Final = 15
_SIGN_IN_WORDS: Final = re.compile(r"(?P<root>[A-G])[ -](?P<sign>flat|sharp)(?=[\s|\"]|$)")


def read_chord(cursor: Cursor) -> Symbol:
    """Read a chord symbol; one that cannot be read stands as a gap."""
    start = cursor.at
    if spoken := cursor.take(_SIGN_IN_WORDS):
        meant = spoken["root"] + ("b" if spoken["sign"] == "flat" else "#")
        message = f"The {spoken['sign']} of a root is written as a sign"
        cursor.report.add(cursor.since(start), message, meant, rule="chord-symbol")
        return Symbol(Chord.parse(meant), meant, cursor.since(start), _label(cursor))
    return _read(cursor, Chord.parse, "chord-symbol")


def read_numeral(cursor: Cursor) -> Symbol:
    """Read a Roman numeral; one that cannot be read stands as a gap."""
    return _read(cursor, Numeral.parse, "numeral-symbol")


def _read(cursor: Cursor, parse: Callable[[str], Chord | Numeral], rule: str) -> Symbol:
    start = cursor.at
    _skip_symbol(cursor)
    end = cursor.at
    text = cursor.text[start:end]
    meaning: Chord | Numeral | None = None
    if text not in _GAPS:
        meaning = _meaning(cursor, start, parse, rule)
    label = _label(cursor)
    written = cursor.passage.written[start:end].rstrip(",")
    if meaning is None:
        written = "" if text == "rest" else SPACE
    return Symbol(meaning, written, cursor.passage.span(start, end), label)


def _skip_symbol(cursor: Cursor) -> None:
    """Move past a symbol; what stands in its parentheses belongs to it, spaces too."""
    depth = 0
    text = cursor.text
    while cursor.sign and cursor.sign not in '\n|"':
        if text.startswith(":|", cursor.at) or (depth <= 0 and cursor.sign in " )"):
            return
        depth += (cursor.sign == "(") - (cursor.sign == ")")
        cursor.at += 1


def _label(cursor: Cursor) -> str | None:
    label = None
    if cursor.sign == '"':
        label = read_label(cursor)
    if not cursor.at_break:
        start = cursor.at
        cursor.skip_event()
        cursor.complain(start, "After a symbol and its label stands a space")
    return label


def _meaning(
    cursor: Cursor, start: int, parse: Callable[[str], Chord | Numeral], rule: str
) -> Chord | Numeral | None:
    text = cursor.text[start : cursor.at]
    if not text:
        if not cursor.at_break:
            cursor.skip_sign()
        cursor.complain(start, "Here stands a symbol")
        return None
    if len(text) > LONGEST_LABEL:
        cursor.report.add(cursor.since(start), "This is too long for a symbol", rule=rule)
        return None
    if text.lower() in JUMPS:
        cursor.complain(start, "Jumps are not part of the language; write the music out")
        return None
    if text.upper() in ("N.C.", "NC", "N.C"):
        message = "That no chord sounds is written as `rest`; it is printed as N.C. all the same"
        cursor.report.add(cursor.since(start), message, "rest", rule=rule)
        return None
    if text.endswith(","):
        message = "Symbols are parted by spaces, without commas"
        cursor.report.add(cursor.since(start), message, text.rstrip(",") or None, rule=rule)
        # The bar is counted as if the comma were not there, so that it brings no second finding.
        return _or_none(parse, text.rstrip(","))
    try:
        return parse(text)
    except TheoryError as error:
        if nearest := near(text, (*_GAPS, "same"), 0.7):
            cursor.report.add(cursor.since(start), error.message, nearest, rule=rule)
        else:
            cursor.report.theory(error, cursor.passage, start, cursor.at, rule=rule)
        return None


def _or_none(parse: Callable[[str], Chord | Numeral], text: str) -> Chord | Numeral | None:
    try:
        return parse(text)
    except TheoryError:
        return None


def read_figures(cursor: Cursor) -> Symbol:
    """Read the figures over one bass note: `6`, `6&4`, `#6`, `b`, `rest`."""
    start = cursor.at
    while not cursor.at_break and cursor.sign != '"':
        cursor.at += 1
    text = cursor.text[start : cursor.at]
    figures: tuple[BassFigure, ...] = ()
    if text not in _GAPS:
        figures = _figures(cursor, start, text)
    span = cursor.since(start)
    if cursor.sign == '"':
        label_at = cursor.at
        read_label(cursor)
        cursor.complain(label_at, "Figures take no label; label the note instead", "")
    return Symbol(figures, text, span)


def _figures(cursor: Cursor, start: int, text: str) -> tuple[BassFigure, ...]:
    figures = []
    at = start
    for part in text.split("&"):
        match = _FIGURE.fullmatch(part)
        number = int(match["number"]) if match and match["number"] else None
        if match is None or not part or (number is not None and not _is_figure(number)):
            message, suggestion = _figure_advice(part)
            span = cursor.passage.span(at, at + len(part))
            cursor.report.add(span, message, suggestion)
            return ()
        sign = match["sign"] or ""
        figures.append(BassFigure(_FIGURE_SIGNS.get(sign, sign), number))
        at += len(part) + 1
    return tuple(figures)


def _is_figure(number: int) -> bool:
    return 2 <= number <= _HIGHEST_FIGURE


def _figure_advice(part: str) -> tuple[str, str | None]:
    if match := _SIGN_AFTER.fullmatch(part):
        sign = "#" if match["sign"] == "+" else match["sign"]
        return "The accidental stands before its figure", sign + match["number"]
    if _STACKED_DIGITS.fullmatch(part) and len(part) <= MOST_DIGITS:
        return "Stacked figures are joined by &, the uppermost first", "&".join(part)
    message = (
        "A figure is a number from 2 to 15 with an accidental before it, or an accidental alone"
    )
    return message, near(part, ("rest", "same"))
