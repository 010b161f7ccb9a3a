"""Taking a chord symbol apart: root, suffix, bass; and saying what is wrong with one that fails."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from functools import cache
from typing import Final, NoReturn

from stavewright.theory.chord_suffix import PLAIN, Suffix, read_suffix
from stavewright.theory.chord_table import MODIFIERS, Change, core_spellings
from stavewright.theory.errors import TheoryError
from stavewright.theory.pitch import PitchName

_POLYCHORD: Final = re.compile(r"\((?P<upper>.+)\)/\((?P<lower>.+)\)")
_BASS: Final = re.compile(r"/(?P<bass>[A-Ha-h][^/()]*)$")
_LOWER_BASS: Final = re.compile(r"[a-h][#b♯♭]*")

_HINTS: Final[tuple[tuple[re.Pattern[str], str, str | None], ...]] = tuple(
    (re.compile(pattern), message, replacement)
    for pattern, message, replacement in (
        (
            r"2$",
            "A bare 2 is read in two ways: add2 keeps the third, sus2 leaves it out",
            "add2",
        ),
        (
            r"4$",
            "A bare 4 is read in two ways: sus4 leaves the third out, add4 keeps it",
            "sus4",
        ),
        (
            r"\+(?=9|11)",
            "After a number + is read in two ways: as a raised fifth, and as raising what follows",
            "#",
        ),
        (r"\(?#4\)?", "Over a chord the raised fourth is counted as #11", "(#11)"),
        (r"\(?[#b]3\)?", "The third is named by m or by its absence, never by a sign", None),
        (r"\(?b7\)?", "The flat seventh is what a plain 7 means", "7"),
        (r"/(?=[b#]\d)", "An alteration follows the number directly", ""),
        (
            r"/(?=(?:6|9|11|13)$)",
            "After a slash stands a bass; an added tone is written add",
            "add",
        ),
        (r"\([^)]*$", "The parenthesis is not closed", "close"),
        (r"/$", "After the slash stands the bass, a note name such as E", ""),
    )
)
"""Slips with a known cause: what stands where reading stopped, what to say, what to write."""

_LONG_WORDS: Final = {
    "half-diminished": "hd",
    "augmented": "aug",
    "diminished": "dim",
    "dominant": "",
    "suspended": "sus",
    "major": "maj",
    "minor": "m",
    "sharp": "#",
    "flat": "b",
}
"""Words that are written short in a symbol."""


@dataclass(frozen=True, slots=True)
class SymbolText:
    """A simple chord symbol, read: everything but what it means."""

    root: PitchName
    suffix: Suffix
    bass: PitchName | None
    suffix_start: int
    suffix_end: int


def split_polychord(text: str) -> tuple[str, int, str, int] | None:
    """Split `(D)/(C7)`: the upper symbol, its offset, the lower one, its offset."""
    match = _POLYCHORD.fullmatch(text)
    if match is None:
        return None
    return match["upper"], match.start("upper"), match["lower"], match.start("lower")


def read_symbol(text: str) -> SymbolText:
    """Read a symbol that is not a polychord."""
    found = PitchName.scan(text)
    if found is None:
        _refuse_root(text)
    root, start = found
    bass, end = _read_bass(text, start)
    try:
        suffix = read_suffix(text[start:end])
    except TheoryError as error:
        _refuse_suffix(text, start, end, start + error.start)
    return SymbolText(root, suffix, bass, start, end)


def is_symbol(text: str) -> bool:
    """Whether a symbol would be read, so that no suggestion is offered that fails in its turn."""
    try:
        read_symbol(text)
    except TheoryError:
        return False
    return True


def _read_bass(text: str, start: int) -> tuple[PitchName | None, int]:
    """Read `/E` at the end: the bass, and where the suffix ends."""
    match = _BASS.search(text, start)
    if match is None or text.count("(", 0, match.start()) != text.count(")", 0, match.start()):
        return None, len(text)
    at = match.start("bass")
    written = match["bass"]
    found = PitchName.scan(written)
    if found is not None and found[1] == len(written):
        return found[0], match.start()
    if found is not None:
        both = f"({text[: match.start()]})/({written})"
        raise TheoryError(
            "The bass after the slash is a single note; two chords at once stand in parentheses",
            text,
            0 if is_symbol(text[: match.start()]) and is_symbol(written) else at,
            len(text),
            both if is_symbol(text[: match.start()]) and is_symbol(written) else written[:1],
        )
    if _LOWER_BASS.fullmatch(written) or written[0] == "H":
        letter = "B" if written[0] in "Hh" else written[0].upper()
        raise TheoryError(_letter_message(written[0], "bass"), text, at, at + 1, letter)
    return None, len(text)


def _letter_message(letter: str, what: str) -> str:
    if letter in "Hh":
        return f"The {what} H is the German name of B; letters here run from A to G"
    return f"The letter of a {what} is a capital; minor is written m"


def _refuse_root(text: str) -> NoReturn:
    """Raise the error for a symbol that does not open with a root."""
    if not text:
        raise TheoryError("Here stands a chord symbol such as Am7 or C/E", text)
    if text.upper().rstrip(".") in ("N.C", "NC"):
        raise TheoryError("N.C. names no chord; in a line of chords a rest stands for it", text)
    head = text[0]
    if head in "abcdefghH":
        capital = "B" if head in "hH" else head.upper()
        if is_symbol(capital + text[1:]):
            raise TheoryError(_letter_message(head, "root"), text, 0, 1, capital)
    raise TheoryError(
        "A chord symbol opens with its root, a capital letter from A to G with its sharps or flats",
        text,
        0,
        len(text),
    )


def _refuse_suffix(text: str, start: int, end: int, at: int) -> NoReturn:
    """Raise the error for a suffix that is not in the table, with the likeliest one."""
    plain = text.translate(PLAIN)
    _try_words(text, start, end)
    _try_twice(text, start, end, at)
    for place in (at, at - 1):
        _try_hints(text, plain[:end], max(place, start))
    suffix = plain[start:end]
    near = [
        close
        for choices in _all_suffixes()
        for close in difflib.get_close_matches(suffix, choices, n=3, cutoff=0.6)
    ]
    usable = [n for n in near if is_symbol(text[:start] + n + text[end:])]
    named = text[at:end] if at > start else text[start:end]
    message = f"{named!r} is not a chord suffix"
    if at > start:
        message = f"{named!r} means nothing after {text[:at]!r} in a chord symbol"
    raise TheoryError(message, text, start, end, usable[0] if usable else None)


def _try_hints(text: str, plain: str, at: int) -> None:
    """Raise the error for a slip with a known cause, if one stands at `at`."""
    for pattern, message, replacement in _HINTS:
        match = pattern.match(plain, at)
        if match is None:
            continue
        if replacement is None:
            raise TheoryError(message, text, at, len(plain))
        wanted = match[0] + ")" if replacement == "close" else replacement
        if is_symbol(text[:at] + wanted + text[match.end() :]):
            raise TheoryError(message, text, at, match.end(), wanted)


def _try_words(text: str, start: int, end: int) -> None:
    """Raise the error for a suffix written out in words."""
    short = text[start:end]
    for word, sign in _LONG_WORDS.items():
        short = short.replace(word, sign)
    if short != text[start:end] and is_symbol(text[:start] + short + text[end:]):
        message = "In a chord symbol such words are written short"
        raise TheoryError(message, text, start, end, short)


def _try_twice(text: str, start: int, end: int, at: int) -> None:
    """Raise the error for a part that is typed twice, as the 4 of C7sus44."""
    again = text[at:end]
    if again and text[start:at].endswith(again) and is_symbol(text[:at] + text[end:]):
        raise TheoryError(f"{again!r} is written twice", text, start, end, text[start:at])


@cache
def _all_suffixes() -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Bodies as they may be written, and each printed body with an alteration or addition."""
    printed = dict.fromkeys(core.canonical for core in core_spellings().values())
    signs = [m.canonical for m in MODIFIERS if m.change in (Change.ALTER, Change.ADD)]
    combined = (body + sign for body in printed if body for sign in signs)
    return tuple(core_spellings()), tuple(combined)
