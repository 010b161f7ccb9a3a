"""The grammar of a Roman numeral, and what is said of one that breaks it.

numeral    = (accidental* roman sign? | name | "CT" "o") figures? extras? suspension* ("/" numeral)?
sign       = o ° ø hd +
figures    = ("maj" | "M" | "Δ")? one of `numeral_table.FIGURES`
extras     = alterations, sus or added tones as in a chord symbol, or "alt"
suspension = "(" figure "-" figure ")"
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from typing import Final, NoReturn

from stavewright.theory.chord_suffix import PLAIN, read_modifiers
from stavewright.theory.errors import TheoryError
from stavewright.theory.numeral_table import (
    DIMINISHED_THIRDS,
    FIGURES,
    MAJOR_SEVENTH_WORDS,
    ROMANS,
    SEVENTH_OF_TRIAD,
    SIGNS,
    SPECIAL_FIGURES,
    SPECIAL_WORDS,
    SUSPENSIONS,
    Case,
    Figures,
    Sign,
    Special,
)

_HEAD: Final = re.compile(r"(?P<signs>[#b]*)(?P<roman>[IVXivx]+)(?P<quality>o|°|º|ø|Ø|hd|\+)?")
_NAME: Final = re.compile(
    r"(?:(?P<name>Cad|Ger|It|Fr|N)|(?P<common>CT)[o°º])(?P<figures>(?(name)[o°º]3|(?!))|\d*)"
)
_FIGURES: Final = re.compile(rf"(?P<major>{'|'.join(MAJOR_SEVENTH_WORDS)})?(?P<digits>\d*)")
_SUSPENSIONS: Final = re.compile(r"(?:\(\d+-\d+\))+$")
_SUSPENSION: Final = re.compile(r"\((?P<above>\d+)-(?P<below>\d+)\)")
_PLACES: Final = {
    Special.CADENTIAL: (1, 0),
    Special.NEAPOLITAN: (2, -1),
    Special.COMMON_TONE: (2, 1),
}
"""Degree and alteration of the chords with a name; of the others the lowered sixth."""
_PARENTHESISED_SIX_FOUR: Final = re.compile(r"V\(64\)")


@dataclass(frozen=True, slots=True)
class NumeralText:
    """One numeral without what it is applied to, read but not yet placed in a key."""

    degree: int
    alteration: int
    case: Case
    sign: Sign
    special: Special
    figures: Figures
    major_seventh: bool
    extras: str
    suspensions: tuple[tuple[int, int], ...]
    parenthesised: bool
    """Whether the figures stand in parentheses: the V(64) of those who hear a dominant there."""


def split_applied(text: str) -> tuple[str, int | None]:
    """Split `V65/V` at its first slash outside parentheses: the head, and where the target is."""
    depth = 0
    for at, sign in enumerate(text):
        depth += (sign == "(") - (sign == ")")
        if sign == "/" and depth == 0:
            return text[:at], at + 1
    return text, None


def read_numeral(text: str) -> NumeralText:
    """Read one numeral, without its target. Places are offsets into `text`.

    A suggestion is kept only where the text it gives is read in its turn.
    """
    try:
        return _read(text)
    except TheoryError as fault:
        if fault.repaired is None or _is_read(fault.repaired):
            raise
        raise TheoryError(fault.message, text, fault.start, fault.end) from None


def _is_read(text: str) -> bool:
    try:
        _read(text)
    except TheoryError:
        return False
    return True


def _read(text: str) -> NumeralText:
    plain = text.translate(PLAIN)
    if _PARENTHESISED_SIX_FOUR.fullmatch(plain):
        return _named(Special.CADENTIAL, FIGURES["64"], parenthesised=True)
    named = _NAME.fullmatch(plain)
    if named is not None:
        return _read_named(text, named)
    head = _HEAD.match(plain)
    if head is None:
        _refuse(text)
    degree, case = _read_roman(text, head)
    sign = SIGNS[head["quality"] or ""]
    tail = _SUSPENSIONS.search(plain, head.end())
    end = tail.start() if tail else len(plain)
    figures, major, extras = _read_figures(text, plain, head.end(), end)
    read = NumeralText(
        degree=degree,
        alteration=head["signs"].count("#") - head["signs"].count("b"),
        case=case,
        sign=sign,
        special=Special.NONE,
        figures=figures,
        major_seventh=major,
        extras=extras,
        suspensions=_read_suspensions(text, plain, end),
        parenthesised=False,
    )
    _check_sign(text, head, read)
    return read


def _named(special: Special, figures: Figures, parenthesised: bool = False) -> NumeralText:
    degree, alteration = _PLACES.get(special, (6, -1))
    is_diminished = special is Special.COMMON_TONE
    return NumeralText(
        degree,
        alteration,
        Case.LOWER if is_diminished else Case.UPPER,
        Sign.DIMINISHED if is_diminished else Sign.NONE,
        special,
        figures,
        major_seventh=False,
        extras="",
        suspensions=(),
        parenthesised=parenthesised,
    )


def _read_named(text: str, match: re.Match[str]) -> NumeralText:
    name = match["name"] or match["common"]
    special = SPECIAL_WORDS[name]
    allowed = SPECIAL_FIGURES[special]
    written = match["figures"]
    if not written and "" not in allowed:
        written = allowed[0]
    if written[1:] == "3" and not written.isdecimal():
        written = DIMINISHED_THIRDS.get(special, written)
    if written not in allowed:
        sign = "o" if special is Special.COMMON_TONE else ""
        choices = " or ".join(f"{name}{sign}{figure}" for figure in allowed)
        start, end = match.span("figures")
        raise TheoryError(f"This chord is written {choices}", text, start, end, allowed[0])
    return _named(special, FIGURES[written])


def _read_roman(text: str, head: re.Match[str]) -> tuple[int, Case]:
    roman = head["roman"]
    start, end = head.span("roman")
    if roman not in (roman.upper(), roman.lower()):
        raise TheoryError(
            "A numeral is upper case for a major triad, lower case for a minor one, never both",
            text,
            start,
            end,
            roman.upper() if roman.upper() in ROMANS else None,
        )
    if roman.upper() not in ROMANS:
        near = difflib.get_close_matches(roman.upper(), ROMANS, n=1)
        shown = None if not near else near[0] if roman.isupper() else near[0].lower()
        raise TheoryError("Scale degrees run from I to VII", text, start, end, shown)
    case = Case.UPPER if roman.isupper() else Case.LOWER
    return ROMANS.index(roman.upper()) + 1, case


def _read_figures(text: str, plain: str, start: int, end: int) -> tuple[Figures, bool, str]:
    """Read figures and what follows them up to `end`; the longest figures win."""
    match = _FIGURES.match(plain, start, end)
    major = match is not None and bool(match["major"])
    first = match.start("digits") if match else start
    digits = match["digits"] if match else ""
    for length in range(len(digits), -1, -1):
        figures = FIGURES.get(digits[:length])
        rest = first + length
        if figures is None or (major and figures.highest < 7):
            continue
        if plain[rest:end] == "alt" and figures.text == "7":
            return figures, major, "alt"
        pieces, stop = read_modifiers(plain[:end], rest)
        if stop == end:
            return figures, major, "".join(piece.written_alone for piece in pieces)
    raise _no_figures(text, start, end, major)


def _no_figures(text: str, start: int, end: int, major: bool) -> TheoryError:
    written = text[start:end]
    if major:
        return TheoryError(
            "maj stands before a figure of a seventh chord, as in Imaj7", text, start, end, "maj7"
        )
    if not written.strip("l"):
        letter = "i" if "v" in text[:start] else "I"
        return TheoryError(
            f"{written!r} is a small L where the letter {letter} belongs",
            text,
            start,
            end,
            written.replace("l", letter),
        )
    near = difflib.get_close_matches(written, [f for f in FIGURES if f], n=1, cutoff=0.4)
    return TheoryError(
        f"{written!r} is no figure of a triad, a seventh or a ninth chord",
        text,
        start,
        end,
        near[0] if near else None,
    )


def _read_suspensions(text: str, plain: str, start: int) -> tuple[tuple[int, int], ...]:
    """Read `(4-3)` and `(64-53)`, which is two suspensions at once."""
    found: list[tuple[int, int]] = []
    for match in _SUSPENSION.finditer(plain, start):
        above, below = match["above"], match["below"]
        pairs = [(int(above), int(below))]
        if pairs[0] not in SUSPENSIONS and len(above) == len(below):
            pairs = [(int(a), int(b)) for a, b in zip(above, below, strict=True)]
        if any(pair not in SUSPENSIONS for pair in pairs):
            raise TheoryError(
                "A suspension is written as two figures above the bass, such as 4-3, 7-6 or 9-8",
                text,
                match.start() + 1,
                match.end() - 1,
                "4-3",
            )
        found += pairs
    return tuple(found)


def _check_sign(text: str, head: re.Match[str], read: NumeralText) -> None:
    """Refuse a case against its sign, and a half-diminished triad."""
    start, end = head.span("roman")
    roman = head["roman"]
    if read.sign is Sign.HALF_DIMINISHED and read.figures.highest < 7:
        stop = head.end() + len(read.figures.text)
        seventh = f"{roman.lower()}ø{SEVENTH_OF_TRIAD[read.figures.text]}"
        raise TheoryError(
            "Half-diminished is said of a seventh chord; the triad is diminished",
            text,
            start,
            stop,
            seventh,
        )
    if read.case is Case.UPPER and read.sign in (Sign.DIMINISHED, Sign.HALF_DIMINISHED):
        raise TheoryError(
            "Upper case says a major third, the sign a diminished fifth; such triads are lower "
            "case",
            text,
            start,
            end,
            roman.lower(),
        )
    if read.case is Case.LOWER and read.sign is Sign.AUGMENTED:
        raise TheoryError(
            "Lower case says a minor third, + an augmented triad; such triads are upper case",
            text,
            start,
            end,
            roman.upper(),
        )


def _refuse(text: str) -> NoReturn:
    if not text:
        raise TheoryError("Here stands a Roman numeral such as V7 or viio6", text)
    for name in SPECIAL_WORDS:
        if text.lower().startswith(name.lower()) and not text.startswith(name):
            raise TheoryError(f"This chord is written {name}", text, 0, len(name), name)
    for other, name in (("Gr", "Ger"), ("Gn", "Ger"), ("Neap", "N"), ("CT", "CTo")):
        if text.startswith(other):
            raise TheoryError(f"This chord is written {name}", text, 0, len(other), name)
    if text[0] in "1234567":
        roman = ROMANS[int(text[0]) - 1]
        raise TheoryError("Chords are counted in Roman numerals", text, 0, 1, roman)
    raise TheoryError(
        "A numeral is I to VII, upper case for major and lower case for minor, with its sign and "
        "figures; or N6, It6, Fr43, Ger65, Cad64, CTo7",
        text,
    )
