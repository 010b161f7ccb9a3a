"""Reads what sounds in a voice: `C4`, `C4&E4&G4`, `(snare&kick)@-1/32`, `rest`, with suffixes."""

import re
from dataclasses import dataclass, replace
from typing import Final

from stavewright.notation.clefs import CLEFS
from stavewright.notation.cursor import Cursor
from stavewright.notation.limits import HIGHEST_OCTAVE, LOWEST_OCTAVE, MOST_HEADS
from stavewright.notation.near import near
from stavewright.notation.percussion import GENERAL_MIDI_DRUMS, SHORT_DRUM_NAMES, drum_key
from stavewright.notation.score import Drum, Head, Silence
from stavewright.notation.suffixes import SUFFIX_SIGNS, Suffixes, read_suffixes
from stavewright.notation.vocabulary import EVENT_NAMES, JUMPS
from stavewright.notation.written import Sound
from stavewright.theory.errors import TheoryError
from stavewright.theory.pitch import Pitch

_SIGNS: Final = "#b♯♭x𝄪𝄫♮"
_WORD: Final = re.compile(
    rf"[A-Ha-h][{_SIGNS}]*\([^()\s\"]*\)[-\w]*"  # a pitch with cents
    r"|[^\s&()\"_*@.|:]+"
)
_PITCH_LIKE: Final = re.compile(rf"[A-H][{_SIGNS}\d(-]|[A-H]$|[a-h][{_SIGNS}]*-?\d")
_JOINED: Final = re.compile(rf"[A-G][{_SIGNS}]*\d(?:\+[A-G][{_SIGNS}]*\d)+")
_RUN_TOGETHER: Final = re.compile(rf"(?:[A-G][{_SIGNS}]*\d){{2,}}")
_ONE_PITCH: Final = re.compile(rf"[A-G][{_SIGNS}]*\d")
_SILENCES: Final = {silence.value: silence for silence in Silence}
_LONGEST_WORD: Final = 40
_OTHER_WORDS: Final = {"r": "rest", "R": "rest", "s": "space", "%": "same"}
"""Short words that other ways of writing music have taught."""
_JUMP: Final = re.compile(r"[Dd]\.\s?[CcSs]\.(?=[\s)|]|$)")
_NO_JUMPS: Final = "Jumps are not part of the language; write the music out"


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


class _UnreadableError(Exception):
    """A note could not be read; a finding says why."""

    def __init__(self, *, is_event: bool = True) -> None:
        super().__init__(is_event)
        self.is_event = is_event
        """Whether a note or a rest was meant, for which a space is to stand."""


def read_sound(cursor: Cursor, instrument: Instrument) -> Sound | None:
    """Read one event; what cannot be read is noted and stands as a space.

    None for what was no event at all, such as a suffix without a note.
    """
    start = cursor.at
    if cursor.take(_JUMP):
        cursor.complain(start, _NO_JUMPS)
        return None
    try:
        sound = _read(cursor, instrument, start)
    except _UnreadableError as error:
        cursor.skip_event()
        return _space(cursor, start) if error.is_event else None
    if not cursor.at_break:
        rest = cursor.at
        cursor.skip_event()
        cursor.complain(
            rest, f"{_shown(cursor.text[rest : cursor.at])} does not belong to the note before it"
        )
    return sound


def _space(cursor: Cursor, start: int) -> Sound:
    text = cursor.text[start : cursor.at]
    return Sound((), cursor.since(start), text, Silence.SPACE, readable=False)


def _read(cursor: Cursor, instrument: Instrument, start: int) -> Sound:
    bracketed = cursor.eat("(")
    parts = [_read_head(cursor, instrument)]
    while cursor.eat("&"):
        parts.append(_read_head(cursor, instrument))
    outer = Suffixes()
    if bracketed:
        if not cursor.eat(")"):
            _fail_bracket(cursor, start)
        outer = read_suffixes(cursor)
    return _event(cursor, start, parts, outer)


def _fail_bracket(cursor: Cursor, start: int) -> None:
    """Say what is wrong with parentheses that hold more than notes at once."""
    close = cursor.text.find(")", cursor.at, cursor.line_end)
    if close < 0:
        cursor.complain(start, "The ( is never closed")
    else:
        cursor.at = close + 1
        inner = cursor.text[start + 1 : close]
        pitches = all(_ONE_PITCH.fullmatch(word) for word in inner.split())
        joined = f"({'&'.join(inner.split())})" if pitches else None
        cursor.complain(start, "Notes in parentheses sound at once and are joined by &", joined)
    raise _UnreadableError


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
    marks = frozenset(
        mark for own in (*(own for _, own in parts), outer) for mark in own.event_marks
    )
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
    return replace(
        head,
        tied=own.tied or outer.tied,
        emphasised=own.emphasised or outer.emphasised,
        shift=own.shift or outer.shift,
        marks=frozenset(own.head_marks | outer.head_marks),
        label=None if alone else own.label,
        label_span=None if alone else own.label_span,
    )


def _silence(
    cursor: Cursor, start: int, parts: list[tuple[Head | Silence, Suffixes]], outer: Suffixes
) -> Sound:
    first, own = parts[0]
    if len(parts) > 1 or not isinstance(first, Silence):
        cursor.complain(start, "A silence cannot sound together with a note")
        raise _UnreadableError
    noted = (own.tied, own.emphasised, own.shift, own.head_marks)
    if any(noted) or any((outer.tied, outer.emphasised, outer.shift, outer.head_marks)):
        text = first.value
        cursor.complain(start, f"A {text} takes a label or a mark, and nothing of a note's", text)
    said = own if outer.label is None else outer
    marks = frozenset(own.event_marks | outer.event_marks)
    text = cursor.text[start : cursor.at]
    return Sound((), cursor.since(start), text, first, marks, said.label, said.label_span)


def _read_head(cursor: Cursor, instrument: Instrument) -> tuple[Head | Silence, Suffixes]:
    start = cursor.at
    match = cursor.take(_WORD)
    word = match[0] if match else ""
    if word in _SILENCES:
        return _SILENCES[word], read_suffixes(cursor)
    sound = _sound(cursor, start, word, instrument)
    span = cursor.since(start)
    return Head(sound, span=span), read_suffixes(cursor)


def _sound(cursor: Cursor, start: int, word: str, instrument: Instrument) -> Pitch | Drum:
    if word == "x" and instrument.own is not None:
        return instrument.own
    if not word:
        _fail_nothing(cursor, start)
    drum = drum_key(word)
    if instrument.percussion:
        if drum is None:
            _fail_drum(cursor, start, word)
        else:
            return Drum(*drum)
    if drum is not None:
        cursor.complain(start, f"{word!r} is a drum, and this voice stands on a staff with pitches")
        raise _UnreadableError
    return _pitch(cursor, start, word)


def _pitch(cursor: Cursor, start: int, word: str) -> Pitch:
    if len(word) > _LONGEST_WORD or not _PITCH_LIKE.match(word):
        _fail_word(cursor, start, word)
    if _JOINED.fullmatch(word):
        cursor.complain(start, "Notes at once are joined by &", word.replace("+", "&"))
        raise _UnreadableError
    if _RUN_TOGETHER.fullmatch(word):
        apart = " ".join(_ONE_PITCH.findall(word))
        cursor.complain(start, "A space stands between one note and the next", apart)
        raise _UnreadableError
    try:
        pitch = Pitch.parse(word)
    except TheoryError as error:
        cursor.report.theory(error, cursor.passage, start, cursor.at)
        raise _UnreadableError from None
    if not LOWEST_OCTAVE <= pitch.octave <= HIGHEST_OCTAVE:
        cursor.complain(
            start, f"A staff shows the octaves {LOWEST_OCTAVE} to {HIGHEST_OCTAVE}; middle C is C4"
        )
        raise _UnreadableError
    return pitch


def _fail_nothing(cursor: Cursor, start: int) -> None:
    sign = cursor.sign
    if sign and sign in SUFFIX_SIGNS + "&":
        cursor.skip_event()
        cursor.complain(start, f"{_shown(cursor.text[start : cursor.at])} has no note before it")
    else:
        cursor.at = min(len(cursor.text), start + (not cursor.at_break))
        cursor.complain(start, "Here stands a note, such as C4")
    raise _UnreadableError(is_event=False)


def _fail_drum(cursor: Cursor, start: int, word: str) -> None:
    if _PITCH_LIKE.match(word):
        message = f"{word!r} is a pitch; this line names drums, such as kick or snare"
        cursor.complain(start, message)
    else:
        known = (*SHORT_DRUM_NAMES, *GENERAL_MIDI_DRUMS, *_SILENCES, "same")
        message = f"No drum is called {_shown(word)}"
        if word == "x":
            message = "An x plays the drum that its voice is named after; this line names each drum"
        cursor.complain(start, message, near(word, known))
    raise _UnreadableError


def _fail_word(cursor: Cursor, start: int, word: str) -> None:
    if word.lower() in JUMPS:
        cursor.complain(start, _NO_JUMPS)
        raise _UnreadableError(is_event=False)
    if word in EVENT_NAMES:
        cursor.complain(start, f"{word!r} is followed by parentheses, such as {_example(word)}")
        raise _UnreadableError(is_event=False)
    nearest = _OTHER_WORDS.get(word) or near(word, (*_SILENCES, "same"))
    cursor.complain(start, f"{_shown(word)} is no note, rest or other word of a voice", nearest)
    raise _UnreadableError


def _example(word: str) -> str:
    examples = {
        "key": "key(G major)",
        "time": "time(3/4)",
        "tempo": "tempo(1/4 at 96)",
        "clef": "clef(bass)",
        "ending": "ending(1)",
        "dynamic": "dynamic(mf)",
        "slur": "slur(C5 D5)",
        "grace": "grace(D5)",
    }
    return examples.get(word, f"{word}()")


def _shown(text: str) -> str:
    """Quote what the author wrote, cut to a readable length."""
    return repr(text if len(text) <= _LONGEST_WORD else text[:_LONGEST_WORD] + "…")
