"""A place in the bar: from its counted name to its position, and back."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from stavewright.articles.worked.answer import Answer, rows
from stavewright.articles.worked.beat_block import beat_block
from stavewright.articles.worked.pasting import claim, value_text
from stavewright.articles.worked.question import read_at, split_in
from stavewright.theory.beat_name import BeatName
from stavewright.theory.errors import TheoryError
from stavewright.theory.length_words import has_name, length_phrase
from stavewright.theory.meter import Meter
from stavewright.theory.note_value import NoteValue, split

_POSITION: Final = re.compile(r"(?:[0-9]{1,4}/[0-9]{1,4}|0)")
_FOUR_FOUR: Final = "4/4"
_LONGEST: Final = 16
"""Whole notes. What a claim may state, as the three after it."""
_LONGEST_DENOMINATOR: Final = 1024
_SHORTEST_NAMED: Final = Fraction(1, 128)
_MOST_TIMES: Final = 99


def beat_answer(text: str, whole_note_ms: Fraction | None = None) -> Answer:
    """Work out `the uh of one in 4/4`, or back `3/16 in 4/4`; without a metre in 4/4.

    `whole_note_ms` is how many milliseconds a whole note lasts, if a tempo is known. Raises
    TheoryError for a place that cannot be read and for one that the metre does not have.
    """
    what, where, at = split_in(text)
    meter = Meter.parse(_FOUR_FOUR) if where is None else read_at(text, where, at, Meter.parse)
    place, position = read_at(text, what, 0, lambda part: _read(part, meter, whole_note_ms))
    clock = "" if whole_note_ms is None else f"{_tenths(abs(position) * whole_note_ms)} ms"
    side = "before" if position < 0 else "after"
    facts = (
        ("counted", place.words),
        ("position", f"{value_text(position)} of a whole note"),
        ("from the bar line", _distance(position)),
        ("at this tempo", f"{clock} {side} the bar line" if clock else ""),
        ("beats of the bar", ", ".join(value_text(beat) for beat in meter.beats)),
    )
    question = f"{what.strip()} in {meter}"
    return Answer(question, rows(*facts), (), _claim(position), beat_block(place, meter))


def _read(text: str, meter: Meter, whole_note_ms: Fraction | None) -> tuple[BeatName, Fraction]:
    if _POSITION.fullmatch(text.strip()):
        try:
            position = Fraction(text.strip())
        except ZeroDivisionError:
            raise TheoryError(
                "A note value is a part of a whole note, such as 3/16", text
            ) from None
        try:
            return BeatName.at(position, meter), position
        except TheoryError as error:
            raise TheoryError(error.message, text) from None
    place = BeatName.parse(text, whole_note_ms)
    try:
        return place, place.position(meter)
    except TheoryError as error:
        raise TheoryError(error.message, text) from None


def _distance(position: Fraction) -> str:
    if not position:
        return "on it"
    side = "before it" if position < 0 else "after it"
    words = length_phrase(abs(position))
    if has_name(abs(position)):
        return f"{words} {side}"
    shapes = _shapes(abs(position))
    if shapes is None:
        return f"{words} {side}"
    return " and ".join(length_phrase(shape.length) for shape in shapes) + f" {side}"


def _tenths(milliseconds: Fraction) -> str:
    whole, tenths = divmod(round(milliseconds * 10), 10)
    return f"{whole}.{tenths}" if tenths else str(whole)


def _shapes(length: Fraction) -> tuple[NoteValue, ...] | None:
    try:
        return split(length)
    except TheoryError:
        return None


def _claim(position: Fraction) -> str | None:
    """State how far from the bar line it lies, as notes that fill the way."""
    length = abs(position)
    odd = length.denominator
    while odd and odd % 2 == 0:
        odd //= 2
    is_far = odd > _MOST_TIMES or odd * length > _LONGEST
    if not length or is_far or length.denominator > _LONGEST_DENOMINATOR:
        return None
    if odd > 1:
        return claim("rhythm", f"{odd} x {value_text(length)}", value_text(odd * length))
    shapes = _shapes(length)
    if shapes is None:
        return None
    if len(shapes) == 1:
        if shapes[0].base < _SHORTEST_NAMED:
            return None
        return claim("rhythm", value_text(length), shapes[0].name)
    return claim("rhythm", value_text(length), " + ".join(value_text(s.length) for s in shapes))
