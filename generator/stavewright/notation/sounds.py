"""Reads what sounds in a voice: `C4`, `C4&E4&G4`, `(snare&kick)@-1/32`, `rest`, with suffixes."""

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from stavewright.notation.clefs import CLEFS
from stavewright.notation.cursor import Cursor
from stavewright.notation.limits import HIGHEST_OCTAVE, LOWEST_OCTAVE, MOST_CENTS, MOST_HEADS
from stavewright.notation.other_spellings import other_spelling
from stavewright.notation.percussion import drum_key
from stavewright.notation.score import Drum, Head, Silence
from stavewright.notation.suffixes import NO_SUFFIXES, Suffixes, read_suffixes
from stavewright.notation.unread_sounds import (
    JOINED_BY_AMPERSAND,
    LONGEST_WORD,
    NO_JUMPS,
    ONE_PITCH,
    PITCH_LIKE,
    PITCH_SIGNS,
    SILENCES,
    UnreadableError,
    fail_bracket,
    fail_comment,
    fail_drum,
    fail_nothing,
    fail_word,
    shown,
)
from stavewright.notation.written import Sound
from stavewright.theory.errors import TheoryError
from stavewright.theory.pitch import Pitch

_WORD: Final = re.compile(
    rf"[A-Ha-h][{PITCH_SIGNS}]*\([^()\s\"]*\)[-0-9A-Za-z]*"  # a pitch with cents
    r"|[^\s&()\"_*@.|:]+"
)
_PLAIN: Final = re.compile(rf"[A-G](?:#{{1,3}}|b{{1,3}})?[{LOWEST_OCTAVE}-{HIGHEST_OCTAVE}]")
_JOINED: Final = re.compile(rf"[A-G][{PITCH_SIGNS}]*\d(?:\+[A-G][{PITCH_SIGNS}]*\d)+")
_RUN_TOGETHER: Final = re.compile(rf"(?:[A-G][{PITCH_SIGNS}]*\d){{2,}}")
_REST_OF_BRACKET: Final = re.compile(r"[^()|\n]*\)")
_JUMP: Final = re.compile(r"[Dd]\.\s?[CcSs]\.(?:\s+al\s+[A-Za-z]+)?(?=[\s)|]|$)")
_CENTS_LAST: Final = re.compile(r"\([+-]\d{1,4}\)(?=[\s)&_*@.\"|]|$)")
_AFTER: Final = re.compile(r"\([^()|\n]*\)")


@dataclass(frozen=True, slots=True)
class Instrument:
    """What a voice may sound."""

    percussion: bool = False
    own: Drum | None = None
    """The drum that the voice is named after; `x` plays it."""


def instrument_of(voice: str, clef: str) -> Instrument:
    """Give what a voice may sound, from its name and the clef of its staff."""
    if CLEFS[clef].sign != "perc":
        return Instrument()
    own = drum_key(voice)
    return Instrument(percussion=True, own=Drum(*own) if own else None)


def read_sound(cursor: Cursor, instrument: Instrument) -> Sound | None:
    """Read one event; what cannot be read is noted and stands as a space.

    None for what was no event at all, such as a suffix without a note.
    """
    start = cursor.at
    if cursor.take(_JUMP):
        cursor.complain(start, NO_JUMPS)
        return None
    try:
        sound = _read(cursor, instrument, start)
    except UnreadableError as error:
        if cursor.text[start] == "(":
            cursor.take(_REST_OF_BRACKET)
        cursor.skip_event()
        return _space(cursor, start) if error.is_event else None
    if not cursor.at_break:
        rest = cursor.at
        while cursor.take(_AFTER):
            continue
        cursor.skip_event()
        cursor.complain(
            rest, f"{shown(cursor.text[rest : cursor.at])} does not belong to the note before it"
        )
    return sound


def _space(cursor: Cursor, start: int) -> Sound:
    text = cursor.text[start : cursor.at]
    return Sound((), cursor.since(start), text, Silence.SPACE, readable=False)


def _read(cursor: Cursor, instrument: Instrument, start: int) -> Sound:
    bracketed = cursor.eat("(")
    if bracketed and cursor.sign == " ":
        fail_bracket(cursor, start)
    parts = [_read_head(cursor, instrument)]
    while cursor.eat("&"):
        parts.append(_read_head(cursor, instrument))
    outer = NO_SUFFIXES
    if bracketed:
        if not cursor.eat(")"):
            fail_bracket(cursor, start)
        outer = read_suffixes(cursor)
    elif len(parts) == 1 and parts[0][1] is NO_SUFFIXES:
        return _plain(cursor, start, parts[0][0])
    return _event(cursor, start, parts, outer)


def _plain(cursor: Cursor, start: int, part: Head | Silence) -> Sound:
    """Give an event of one note, or a silence, of which nothing else is said."""
    text = cursor.text[start : cursor.at]
    if isinstance(part, Silence):
        return Sound((), cursor.since(start), text, part)
    return Sound((part,), part.span or cursor.since(start), text)


def _event(
    cursor: Cursor, start: int, parts: list[tuple[Head | Silence, Suffixes]], outer: Suffixes
) -> Sound:
    """Put the notes of an event together."""
    first, inner = parts[0]
    if isinstance(first, Silence) or any(isinstance(part, Silence) for part, _ in parts):
        return _silence(cursor, start, parts, outer)
    if len(parts) > MOST_HEADS:
        cursor.complain(start, f"At most {MOST_HEADS} notes sound at once in one voice")
        parts = parts[:MOST_HEADS]
    heads = tuple(
        _with_suffixes(cursor, start, part, (own, outer), alone=len(parts) == 1)
        for part, own in parts
        if isinstance(part, Head)
    )
    marks = outer.event_marks.union(*(own.event_marks for _, own in parts))
    said = outer
    if len(parts) == 1:
        if outer.label is not None and inner.label is not None:
            cursor.complain(start, "One note has one label; this has two")
        said = outer if outer.label is not None else inner
    text = cursor.text[start : cursor.at]
    return Sound(heads, cursor.since(start), text, None, marks, said.label, said.label_span)


def _with_suffixes(
    cursor: Cursor, start: int, head: Head, suffixes: tuple[Suffixes, Suffixes], *, alone: bool
) -> Head:
    own, outer = suffixes
    if own.shift and outer.shift:
        cursor.complain(start, "The shift is said twice, for the note and for all of them")
    if own is NO_SUFFIXES and outer is NO_SUFFIXES:
        return head
    return replace(
        head,
        tied=own.tied or outer.tied,
        emphasised=own.emphasised or outer.emphasised,
        shift=own.shift or outer.shift,
        marks=own.head_marks | outer.head_marks,
        label=None if alone else own.label,
        label_span=None if alone else own.label_span,
    )


def _silence(
    cursor: Cursor, start: int, parts: list[tuple[Head | Silence, Suffixes]], outer: Suffixes
) -> Sound:
    first, own = parts[0]
    if len(parts) > 1 or not isinstance(first, Silence):
        cursor.complain(start, "A silence cannot sound together with a note")
        raise UnreadableError
    noted = (own.tied, own.emphasised, own.shift, own.head_marks)
    if any(noted) or any((outer.tied, outer.emphasised, outer.shift, outer.head_marks)):
        text = first.value
        cursor.complain(start, f"A {text} takes a label or a mark, and nothing of a note's", text)
    said = own if outer.label is None else outer
    marks = own.event_marks | outer.event_marks
    text = cursor.text[start : cursor.at]
    return Sound((), cursor.since(start), text, first, marks, said.label, said.label_span)


def _read_head(cursor: Cursor, instrument: Instrument) -> tuple[Head | Silence, Suffixes]:
    start = cursor.at
    match = cursor.take(_WORD)
    word = match[0] if match else ""
    if word in SILENCES:
        return SILENCES[word], read_suffixes(cursor)
    sound = _sound(cursor, start, word, instrument)
    span = cursor.since(start)
    return Head(sound, span=span), read_suffixes(cursor)


def _sound(cursor: Cursor, start: int, word: str, instrument: Instrument) -> Pitch | Drum:
    if word == "x" and instrument.own is not None:
        return instrument.own
    if not word:
        fail_nothing(cursor, start)
    drum = drum_key(word)
    if instrument.percussion:
        if drum is None:
            fail_drum(cursor, start, word)
        else:
            return Drum(*drum)
    if drum is not None:
        cursor.complain(start, f"{word!r} is a drum, and this voice stands on a staff with pitches")
        raise UnreadableError
    plain = _plain_pitch(word)
    # A parenthesis behind it may hold cents that stand in the wrong place.
    return plain if plain is not None and cursor.sign != "(" else _pitch(cursor, start, word)


# Music has some hundred pitches, and this is the hottest place of all reading.
@lru_cache(maxsize=512)
def _plain_pitch(word: str) -> Pitch | None:
    """The pitch of a word in which nothing can be wrong; None for any other word."""
    return Pitch.parse(word) if _PLAIN.fullmatch(word) else None


def _pitch(cursor: Cursor, start: int, word: str) -> Pitch:
    if "//" in word:
        fail_comment(cursor, start, word)
    if advice := other_spelling(word):
        cursor.complain(start, *advice)
        raise UnreadableError
    if len(word) > LONGEST_WORD or not PITCH_LIKE.match(word):
        fail_word(cursor, start, word)
    if cents := cursor.take(_CENTS_LAST):
        name = f"{word[:-1]}{cents[0]}{word[-1]}"
        cursor.complain(start, "Cents stand between the letter and the octave", name)
        raise UnreadableError
    if _JOINED.fullmatch(word):
        cursor.complain(start, JOINED_BY_AMPERSAND, word.replace("+", "&"))
        raise UnreadableError
    if _RUN_TOGETHER.fullmatch(word):
        apart = " ".join(ONE_PITCH.findall(word))
        cursor.complain(start, "A space stands between one note and the next", apart)
        raise UnreadableError
    try:
        pitch = Pitch.parse(word)
    except TheoryError as error:
        cursor.report.theory(error, cursor.passage, start, cursor.at)
        raise UnreadableError from None
    if abs(pitch.cents_altered) > MOST_CENTS:
        message = "The most that one accidental shows is three sharps or flats"
        cursor.complain(start, message)
        raise UnreadableError
    if not LOWEST_OCTAVE <= pitch.octave <= HIGHEST_OCTAVE:
        cursor.complain(
            start, f"A staff shows the octaves {LOWEST_OCTAVE} to {HIGHEST_OCTAVE}; middle C is C4"
        )
        raise UnreadableError
    return pitch
