"""What to say of text that stands where a note should and is none."""

import re
from typing import Final, NoReturn

from stavewright.notation.cursor import Cursor
from stavewright.notation.near import near
from stavewright.notation.percussion import (
    GENERAL_MIDI_DRUMS,
    OTHER_DRUM_NAMES,
    SHORT_DRUM_NAMES,
    drum_key,
)
from stavewright.notation.score import Silence
from stavewright.notation.suffixes import SUFFIX_SIGNS
from stavewright.notation.vocabulary import DYNAMICS, EVENT_NAMES, JUMPS

PITCH_SIGNS: Final = "#b♯♭x𝄪𝄫♮"
PITCH_LIKE: Final = re.compile(rf"[A-H][{PITCH_SIGNS}\d(-]|[A-H]$|[a-h][{PITCH_SIGNS}]*-?\d")
ONE_PITCH: Final = re.compile(rf"[A-G][{PITCH_SIGNS}]*\d")
SILENCES: Final = {silence.value: silence for silence in Silence}
LONGEST_WORD: Final = 40
_OTHER_WORDS: Final = {"r": "rest", "R": "rest", "s": "space", "%": "same"}
"""Short words that other ways of writing music have taught."""
JOINED_BY_AMPERSAND: Final = "Notes at once are joined by &"
NO_JUMPS: Final = "Jumps are not part of the language; write the music out"


class UnreadableError(Exception):
    """A note could not be read; a finding says why."""

    def __init__(self, *, is_event: bool = True) -> None:
        super().__init__(is_event)
        self.is_event = is_event
        """Whether a note or a rest was meant, for which a space is to stand."""


def fail_bracket(cursor: Cursor, start: int) -> NoReturn:
    """Say what is wrong with parentheses that hold more than notes at once."""
    close = cursor.text.find(")", cursor.at, cursor.line_end)
    if close < 0:
        cursor.complain(start, "The ( is never closed")
    else:
        cursor.at = close + 1
        inner = cursor.text[start + 1 : close]
        words = inner.replace("&", " ").split()
        known = all(ONE_PITCH.fullmatch(word) or drum_key(word) for word in words)
        joined = f"({'&'.join(words)})" if words and known else None
        message = "Notes in parentheses sound at once and are joined by &, without spaces"
        cursor.complain(start, message, joined)
    raise UnreadableError


def fail_nothing(cursor: Cursor, start: int) -> NoReturn:
    """Say what is missing where a sign stands that follows a note, or nothing at all."""
    sign = cursor.sign
    if sign and sign in SUFFIX_SIGNS + "&":
        cursor.skip_event()
        message = f"{shown(cursor.text[start : cursor.at])} has no note before it"
        where = "it stands between two notes" if sign == "&" else "it follows its note"
        cursor.complain(start, f"{message}; {where} without a space")
    else:
        cursor.at = min(len(cursor.text), start + (not cursor.at_break))
        joins = start > 0 and cursor.text[start - 1] == "&"
        message = "& joins two notes without a space, as in C4&E4; here stands none"
        cursor.complain(start, message if joins else "Here stands a note, such as C4")
    raise UnreadableError(is_event=False)


def fail_drum(cursor: Cursor, start: int, word: str) -> NoReturn:
    """Say that a word is no drum."""
    if PITCH_LIKE.match(word):
        message = f"{word!r} is a pitch; this line names drums, such as kick or snare"
        cursor.complain(start, message)
    elif "+" in word and all(drum_key(each) for each in word.split("+")):
        cursor.complain(start, JOINED_BY_AMPERSAND, word.replace("+", "&"))
    else:
        known = (*SHORT_DRUM_NAMES, *GENERAL_MIDI_DRUMS, *SILENCES, "same")
        message = f"No drum is called {shown(word)}"
        if word == "x":
            message = "An x plays the drum that its voice is named after; this line names each drum"
        cursor.complain(start, message, OTHER_DRUM_NAMES.get(word) or near(word, known))
    raise UnreadableError


def fail_comment(cursor: Cursor, start: int, word: str) -> NoReturn:
    """A comment was meant: leave it out, so that its words are not taken for notes."""
    before, _, after = word.partition("//")
    cursor.complain(start, "Before the // of a comment stands a space", f"{before} //{after}")
    cursor.at = cursor.line_end
    raise UnreadableError


def fail_word(cursor: Cursor, start: int, word: str) -> NoReturn:
    """Say that a word is none of a voice."""
    if word == "#":
        cursor.complain(start, "A comment begins with //", "//")
        cursor.at = cursor.line_end
        raise UnreadableError(is_event=False)
    if word in DYNAMICS:
        cursor.complain(start, "How loud is said as dynamic( )", f"dynamic({word})")
        raise UnreadableError(is_event=False)
    if word.lower() in JUMPS:
        cursor.complain(start, NO_JUMPS)
        raise UnreadableError(is_event=False)
    if word in EVENT_NAMES:
        cursor.complain(start, f"{word!r} is followed by parentheses, such as {_example(word)}")
        raise UnreadableError(is_event=False)
    nearest = _OTHER_WORDS.get(word) or near(word, (*SILENCES, "same"))
    cursor.complain(start, f"{shown(word)} is no note, rest or other word of a voice", nearest)
    raise UnreadableError


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


def shown(text: str) -> str:
    """Quote what the author wrote, cut to a readable length."""
    return repr(text if len(text) <= LONGEST_WORD else text[:LONGEST_WORD] + "…")
