"""How a pitch is written and read back: letter, accidentals, cents in parentheses, octave.

The canonical signs are `#`, `b` and their repetitions; `x`, `♯ ♭ ♮ 𝄪 𝄫` and the typographer's
minus sign are read as well. Cents add to the accidental. Printing takes the nearest accidental and
states the rest, half-way cases leaning to the natural: B(-50), Bb(-50), but Bb(+30) for 70 cents.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final, NoReturn

from stavewright.theory.errors import TheoryError

MOST_ACCIDENTALS: Final = 6
"""Four occur in remote keys; past six the letter has moved by half an octave and it is a slip."""
LOWEST_OCTAVE: Final = -1
HIGHEST_OCTAVE: Final = 10
"""MIDI's note numbers begin in octave -1, and the limit of hearing lies in octave 10."""

_SHARPS: Final = {"#": 1, "♯": 1, "x": 2, "𝄪": 2}
_FLATS: Final = {"b": 1, "♭": 1, "𝄫": 2}
_SIGNS: Final = "#♯x𝄪b♭𝄫♮"
_NAME: Final = re.compile(rf"(?P<letter>[A-G])(?P<signs>[{_SIGNS}]*)")
_CENTS: Final = re.compile(r"\((?P<cents>[+\-−–][0-9]{1,4})\)")
_UNSIGNED_CENTS: Final = re.compile(r"\((?P<cents>[0-9]{1,4})\)")
_OCTAVE: Final = re.compile(r"[\-−–]?[0-9]{1,3}")
_SLIP: Final = re.compile(
    rf"(?P<letter>[A-Ha-h])(?P<signs>isis|eses|ses|is|es|s|[\s-]*(?:sharp|flat)|[{_SIGNS}]*)"
    r"(?P<rest>(?:\([^)]*\))?\s*(?:[\-−–]?[0-9]{1,3})?)"
)
_SLIP_SIGNS: Final = {
    "isis": "##",
    "is": "#",
    "eses": "bb",
    "ses": "bb",
    "es": "b",
    "s": "b",
    "sharp": "#",
    "flat": "b",
}


@lru_cache(maxsize=512)  # a site has few names and many notes
def spell(letter: str, altered: int) -> str:
    """Write a letter and its alteration in plain signs: `C##`, `B(-50)`."""
    signs, rest = nearest_accidentals(altered)
    sign = ("#" if signs > 0 else "b") * abs(signs)
    return letter + sign + (f"({rest:+d})" if rest else "")


@lru_cache(maxsize=512)
def spell_signs(letter: str, altered: int) -> str:
    """Write a letter and its alteration in music's signs: `C𝄪`, a triple sharp as `♯𝄪`."""
    signs, rest = nearest_accidentals(altered)
    doubles, single = divmod(abs(signs), 2)
    one, two = ("♯", "𝄪") if signs > 0 else ("♭", "𝄫")
    cents = f"({'+' if rest > 0 else '−'}{abs(rest)})" if rest else ""
    return letter + one * single + two * doubles + cents


def nearest_accidentals(altered: int) -> tuple[int, int]:
    """Split cents into whole accidentals and a rest of at most 50 cents either way."""
    count = (abs(altered) + 49) // 100
    signs = count if altered > 0 else -count
    return signs, altered - 100 * signs


def scan(text: str, start: int) -> tuple[str, int, int] | None:
    """Read the letter and accidentals at `start`: (letter, cents, end), or None.

    Takes the longest run of signs that makes sense: of `Bb#` the flat is read and the sharp left.
    """
    match = _NAME.match(text, start)
    if match is None:
        return None
    signs = match["signs"]
    length = min(len(signs), MOST_ACCIDENTALS)
    while (altered := _read_signs(signs[:length])) is None or abs(altered) > MOST_ACCIDENTALS * 100:
        length -= 1  # ends at the latest with no sign at all, which is a natural
    return match["letter"], altered, match.end("letter") + length


def read_name(text: str) -> tuple[str, int]:
    """Read a name without an octave: (letter, cents)."""
    letter, altered, end = _read_head(text, "")
    if end < len(text):
        if _OCTAVE.fullmatch(text, end):
            raise TheoryError("A note name has no octave here", text, end, suggestion="")
        _refuse(text, "")
    return letter, altered


def read_pitch(text: str) -> tuple[str, int, int]:
    """Read a pitch with its octave: (letter, cents, octave)."""
    letter, altered, end = _read_head(text, "4")
    if end == len(text):
        raise TheoryError("The octave is missing; middle C is C4", text, suggestion=f"{text}4")
    if not _OCTAVE.fullmatch(text, end):
        _refuse(text, "4")
    octave = int(text[end:].translate({0x2212: "-", 0x2013: "-"}))
    if not LOWEST_OCTAVE <= octave <= HIGHEST_OCTAVE:
        nearest = min(max(octave, LOWEST_OCTAVE), HIGHEST_OCTAVE)
        raise TheoryError(
            f"Octaves run from {LOWEST_OCTAVE} to {HIGHEST_OCTAVE}; middle C is C4",
            text,
            end,
            suggestion=str(nearest),
        )
    return letter, altered, octave


def _read_head(text: str, octave: str) -> tuple[str, int, int]:
    """Read letter, signs and cents: (letter, cents altered, offset after them)."""
    match = _NAME.match(text)
    if match is None:
        _refuse(text, octave)
    altered = _read_signs(match["signs"])
    start, end = match.span("signs")
    if altered is None:
        raise TheoryError(
            "Accidentals of one note are sharps or flats, not both", text, start, end, text[start]
        )
    if abs(altered) > MOST_ACCIDENTALS * 100:
        raise TheoryError(f"More than {MOST_ACCIDENTALS} accidentals on one note", text, start, end)
    if cents := _CENTS.match(text, end):
        altered += int(cents["cents"].translate({0x2212: "-", 0x2013: "-"}))
        end = cents.end()
        if abs(altered) > MOST_ACCIDENTALS * 100 + 50:
            raise TheoryError("The note is moved by more than half an octave", text, start, end)
    elif cents := _UNSIGNED_CENTS.match(text, end):
        raise TheoryError("Cents carry a sign", text, *cents.span(), f"(+{cents['cents']})")
    return match["letter"], altered, end


def _read_signs(signs: str) -> int | None:
    """Read accidentals as cents; None where they contradict one another."""
    if signs in ("", "♮"):
        return 0
    for table, cents in ((_SHARPS, 100), (_FLATS, -100)):
        if all(sign in table for sign in signs):
            return cents * sum(table[sign] for sign in signs)
    return None


def _refuse(text: str, octave: str) -> NoReturn:
    """Raise the error for text that is no pitch, with the likeliest reading of it."""
    what = "a pitch such as C#4" if octave else "a note name such as C#"
    if not text:
        raise TheoryError(f"Here stands {what}", text)
    slip = _SLIP.fullmatch(text.strip())
    if slip is None:
        raise TheoryError(
            f"{text!r} is not {what}: a capital letter from A to G, then sharps or flats"
            + (", then the octave" if octave else ""),
            text,
        )
    letter, signs = slip["letter"], slip["signs"].strip(" -\t")
    message = "Note letters are capitals"
    if letter in "Hh":
        message = "H is the German name of B, where B means B flat; letters here run from A to G"
    elif signs in _SLIP_SIGNS:
        message = "Sharps and flats are written as the signs # and b"
    elif letter.isupper():
        message = f"This is not {what}"
    capital = "B" if letter in "Hh" else letter.upper()
    rest = (
        "".join(slip["rest"].split()) if octave else re.sub(r"\s*[\-−–]?[0-9]*$", "", slip["rest"])
    )
    wanted = capital + _SLIP_SIGNS.get(signs, signs) + rest
    if octave and not rest:
        wanted += octave
    raise TheoryError(message, text, suggestion=_only_if_read(wanted, text, octave))


def _only_if_read(wanted: str, text: str, octave: str) -> str | None:
    """Keep a suggestion only where it would itself be read, if need be after another mending."""
    if wanted == text:
        return None
    try:
        if octave:
            read_pitch(wanted)
        else:
            read_name(wanted)
    except TheoryError as fault:
        return fault.repaired
    return wanted
