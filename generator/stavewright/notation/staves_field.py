"""Reads `staves:`, `transposes:` and voice names."""

import re
from collections.abc import Sequence
from typing import Final

from stavewright.notation.clefs import CLEFS, OTHER_CLEF_NAMES
from stavewright.notation.cursor import Cursor
from stavewright.notation.limits import MOST_VOICES
from stavewright.notation.near import listed, near
from stavewright.notation.passage import Passage
from stavewright.notation.report import Report
from stavewright.notation.score import Staff
from stavewright.notation.vocabulary import EVENT_NAMES, FIELD_NAMES, LINE_NAMES
from stavewright.notation.words_in_line import unknown_clef
from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval

_STAFF: Final = re.compile(r"(?P<clef>[\w+-]+)[ \t\n]*\((?P<voices>[^()]*)\)?")
_BARE: Final = re.compile(r"[^\s(),]+")
_NAME: Final = re.compile(r"[a-z][a-z0-9-]*")
_PART: Final = re.compile(r"[^,\n]+")
_TRANSPOSITION: Final = re.compile(r"\s*(?P<voice>\S+)\s+(?P<interval>\S.*?)\s*")


def voice_name_problem(name: str) -> str | None:
    """Say why a word cannot name a voice; None where it can."""
    if not _NAME.fullmatch(name):
        return "A voice's name has lower-case letters, digits and hyphens, a letter first"
    if name in FIELD_NAMES or name in LINE_NAMES or name in EVENT_NAMES:
        return f"{name!r} is a word of the language and cannot name a voice"
    return None


def read_staves(passage: Passage, report: Report) -> tuple[Staff, ...]:
    """Read `treble(soprano alto) bass(left)`: clefs, each with its voices."""
    cursor = Cursor(passage, report)
    staves: list[Staff] = []
    names: set[str] = set()
    while True:
        while cursor.sign and cursor.sign in " \n,":
            cursor.at += 1
        if not cursor.sign:
            return tuple(staves)
        staff = _staff(cursor, names)
        if staff is not None:
            staves.append(staff)


def _staff(cursor: Cursor, names: set[str]) -> Staff | None:
    start = cursor.at
    match = cursor.take(_STAFF)
    if match is None:
        return _bare(cursor, start, names)
    if not match[0].endswith(")"):
        cursor.complain(start, "The voices of a staff stand in parentheses; this ( is never closed")
    clef = "percussion" if match["clef"] == "drums" else match["clef"]
    if clef not in CLEFS:
        place = cursor.passage.span(*match.span("clef"))
        message, nearest = unknown_clef(clef)
        cursor.report.add(place, message, nearest)
        clef = nearest or "treble"
    voices = tuple(_voices(cursor, match, names))
    if not voices and not match["voices"].strip(" ,\n"):
        cursor.complain(start, f"Which voices stand on this staff? As in {match['clef']}(upper)")
    return Staff(clef, voices) if voices else None


def _bare(cursor: Cursor, start: int, names: set[str]) -> Staff | None:
    """A word without parentheses: a clef without its voices, or a voice without its clef."""
    message = "A staff is written as its clef with its voices, as in treble(right)"
    match = cursor.take(_BARE)
    if match is None:
        cursor.at += 1
        cursor.complain(start, message, "")
        return None
    word = match[0]
    if word in CLEFS or word in OTHER_CLEF_NAMES:
        cursor.complain(start, f"Which voices stand on this staff? As in {word}(upper)")
        return None
    is_voice = voice_name_problem(word) is None and word not in names
    cursor.complain(start, message, f"treble({word})" if is_voice else None)
    if not is_voice or len(names) >= MOST_VOICES:
        return None
    names.add(word)
    return Staff("treble", (word,))


def _voices(cursor: Cursor, match: re.Match[str], names: set[str]) -> Sequence[str]:
    kept = []
    for found in re.finditer(r"[^\s,]+", match["voices"]):
        name = found[0]
        first = match.start("voices") + found.start()
        place = cursor.passage.span(first, first + len(name))
        problem = voice_name_problem(name)
        if problem is None and name in names:
            problem = f"The voice {name!r} is declared twice"
        if problem is None and len(names) >= MOST_VOICES:
            problem = f"A block has at most {MOST_VOICES} voices"
        if problem is not None:
            lower = name.lower()
            good = lower != name and voice_name_problem(lower) is None and lower not in names
            cursor.report.add(place, problem, lower if good else None)
            if not good:
                continue
            name = lower
        names.add(name)
        kept.append(name)
    return kept


def read_transposes(passage: Passage, voices: Sequence[str], report: Report) -> dict[str, Interval]:
    """Read `clarinet M2, horn P5`: how far above its sound each voice is printed."""
    found: dict[str, Interval] = {}
    for part in _PART.finditer(passage.text):
        match = _TRANSPOSITION.fullmatch(part[0])
        if match is None:
            if part[0].strip():
                span = passage.span(part.start(), part.end())
                report.add(span, "A voice and an interval stand here, such as clarinet M2")
            continue
        voice = match["voice"]
        place = part.start() + match.start("voice")
        span = passage.span(place, place + len(voice))
        if voice not in voices:
            known = listed(voices)
            message = f"No voice is called {voice[:40]!r}; there are {known}"
            report.add(span, message, near(voice, voices) or _only(voices))
            continue
        if voice in found:
            report.add(span, f"{voice!r} is transposed twice")
            continue
        interval = _interval(passage, part.start() + match.start("interval"), match, report)
        if interval is not None:
            found[voice] = interval
    return found


def _only(voices: Sequence[str]) -> str | None:
    return voices[0] if len(voices) == 1 else None


def _interval(
    passage: Passage, place: int, match: re.Match[str], report: Report
) -> Interval | None:
    text = match["interval"]
    try:
        return Interval.parse(text)
    except TheoryError as error:
        report.theory(error, passage, place, place + len(text))
        return None
