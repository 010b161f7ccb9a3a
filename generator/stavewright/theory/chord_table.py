"""Every chord-symbol suffix that is accepted, once: meaning, tones, synonyms.

The parser reads symbols with these tables, the handbook prints them, the namer searches them;
nothing about a suffix is written anywhere else. Tones are degrees counted against the major scale
on the root, as players count them: ``b7`` is a minor seventh, ``#11`` an augmented eleventh.

How to write a row: ``spellings`` are templates in which ``{m}``, ``{maj}`` and the like stand for
all ways of writing that word (``WORDS``). The canonical spelling needs no template of its own.

The readings are common practice, no source; the rows follow what teaching books and printed
lead sheets agree on. Where they do not agree the parser refuses and names both readings.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cache
from itertools import product

WORDS: dict[str, tuple[str, ...]] = {
    "m": ("m", "min", "mi", "-", "Min", "MI"),
    "maj": ("maj", "M", "ma", "Maj", "Ma", "MA"),
    "delta": ("Δ", "△", "∆"),
    "dim": ("dim", "o", "°", "º", "Dim"),
    "aug": ("aug", "+", "Aug"),
    "hd": ("ø", "hd", "Ø"),
}
"""The interchangeable ways to write one word of a suffix; the first is the one we print."""


class Family(Enum):
    """The groups in which the handbook lists suffixes."""

    TRIAD = "triads"
    SUSPENDED = "suspended chords"
    SIXTH = "sixth chords"
    SEVENTH = "seventh chords"
    NINTH = "ninth chords"
    ELEVENTH = "eleventh chords"
    THIRTEENTH = "thirteenth chords"
    ALTERED = "alterations"
    ADDED = "added tones"
    OMITTED = "omitted tones"


class Change(Enum):
    """What a modifier does to the chord it follows."""

    ALTER = "alter"
    ADD = "add"
    SUSPEND = "suspend"
    OMIT = "omit"


@dataclass(frozen=True, slots=True)
class Core:
    """The body of a suffix: what stands directly after the root."""

    canonical: str
    """As we print it: ``m7b5``."""
    family: Family
    words: str
    """``half-diminished seventh``."""
    degrees: tuple[str, ...]
    """Chord order, root first."""
    spellings: tuple[str, ...] = ()
    """Templates of the synonyms."""
    omittable: tuple[str, ...] = ()
    """Tones that may be left out besides the perfect fifth and, from sevenths up, the root."""


@dataclass(frozen=True, slots=True)
class Modifier:
    """What may follow the body: an alteration, an added, suspended or omitted tone."""

    canonical: str
    change: Change
    family: Family
    words: str
    degrees: tuple[str, ...]
    spellings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SuffixRow:
    """One line of the handbook's table."""

    family: str
    words: str
    canonical: str
    synonyms: tuple[str, ...]
    degrees: tuple[str, ...]


def _core(
    canonical: str,
    family: Family,
    words: str,
    degrees: str,
    spellings: str = "",
    omittable: str = "",
) -> Core:
    return Core(
        canonical,
        family,
        words,
        tuple(degrees.split()),
        tuple(spellings.split()),
        tuple(omittable.split()),
    )


_T, _U, _X, _S = Family.TRIAD, Family.SUSPENDED, Family.SIXTH, Family.SEVENTH
_N, _E, _H = Family.NINTH, Family.ELEVENTH, Family.THIRTEENTH

CORES: tuple[Core, ...] = (
    _core("", _T, "major triad", "1 3 5", "{maj}"),
    _core("m", _T, "minor triad", "1 b3 5", "{m}"),
    _core("dim", _T, "diminished triad", "1 b3 b5", "{dim} {m}(b5) {m}(-5)"),
    _core("aug", _T, "augmented triad", "1 3 #5", "{aug} (#5) {maj}#5 {maj}(#5)"),
    _core("5", _T, "power chord", "1 5", "(no3) (omit3)"),
    _core("sus4", _U, "suspended fourth", "1 4 5", "sus"),
    _core("sus2", _U, "suspended second", "1 2 5"),
    _core("sus2sus4", _U, "suspended second and fourth", "1 2 4 5", "sus24 sus42 sus4sus2"),
    _core("7sus4", _U, "dominant seventh with suspended fourth", "1 4 5 b7", "7sus sus7 sus4(7)"),
    _core("7sus2", _U, "dominant seventh with suspended second", "1 2 5 b7", "sus2(7)"),
    _core(
        "7sus2sus4",
        _U,
        "dominant seventh with suspended second and fourth",
        "1 2 4 5 b7",
        "7sus24",
    ),
    _core("9sus4", _U, "ninth with suspended fourth", "1 4 5 b7 9", "9sus sus9 11sus 11sus4"),
    _core("13sus4", _U, "thirteenth with suspended fourth", "1 4 5 b7 9 13", "13sus sus13", "9"),
    _core("maj7sus4", _U, "major seventh with suspended fourth", "1 4 5 7", "{maj}7sus {maj}7sus4"),
    _core("maj7sus2", _U, "major seventh with suspended second", "1 2 5 7", "{maj}7sus2"),
    _core("6", _X, "sixth", "1 3 5 6", "{maj}6 add6 (add6)"),
    _core("m6", _X, "minor sixth", "1 b3 5 6", "{m}6 {m}add6 {m}(add6)"),
    _core("6/9", _X, "six-nine", "1 3 5 6 9", "69 6add9 6(9) 6(add9) {maj}6/9 {maj}69"),
    _core("m6/9", _X, "minor six-nine", "1 b3 5 6 9", "{m}69 {m}6/9 {m}6add9 {m}6(9) {m}6(add9)"),
    _core("7", _S, "dominant seventh", "1 3 5 b7", "dom7"),
    _core("maj7", _S, "major seventh", "1 3 5 7", "{maj}7 {delta} {delta}7 j7 7M ({maj}7)"),
    _core("m7", _S, "minor seventh", "1 b3 5 b7", "{m}7"),
    _core(
        "mMaj7",
        _S,
        "minor-major seventh",
        "1 b3 5 7",
        "{m}{maj}7 {m}({maj}7) {m}{delta} {m}{delta}7 {m}j7 {m}7M",
    ),
    _core("dim7", _S, "diminished seventh", "1 b3 b5 bb7", "{dim}7"),
    _core(
        "m7b5",
        _S,
        "half-diminished seventh",
        "1 b3 b5 b7",
        "{hd} {hd}7 {m}7b5 {m}7(b5) {m}7-5 {m}7(-5)",
    ),
    _core(
        "dimMaj7",
        _S,
        "diminished triad with major seventh",
        "1 b3 b5 7",
        "{dim}{maj}7 {dim}({maj}7)",
    ),
    _core("7b5", _S, "dominant seventh with flat fifth", "1 3 b5 b7", "7(b5) 7-5 7(-5)"),
    _core(
        "7#5",
        _S,
        "augmented dominant seventh",
        "1 3 #5 b7",
        "{aug}7 7{aug} 7+5 7(#5) 7(+5)",
    ),
    _core(
        "maj7#5",
        _S,
        "augmented major seventh",
        "1 3 #5 7",
        "{aug}{maj}7 {aug}({maj}7) {maj}7#5 {maj}7(#5) {maj}7+ {maj}7+5 {delta}#5 {delta}7#5",
    ),
    _core("7alt", _S, "altered dominant", "1 3 b5 #5 b7 b9 #9", "alt", "b5 #5 b9 #9"),
    _core("9", _N, "dominant ninth", "1 3 5 b7 9", "7add9 7(9) 7(add9) dom9"),
    _core("maj9", _N, "major ninth", "1 3 5 7 9", "{maj}9 {delta}9 j9 {maj}7(9) {maj}7add9"),
    _core("m9", _N, "minor ninth", "1 b3 5 b7 9", "{m}9 {m}7(9) {m}7add9"),
    _core(
        "mMaj9",
        _N,
        "minor-major ninth",
        "1 b3 5 7 9",
        "{m}{maj}9 {m}({maj}9) {m}{delta}9 {m}9({maj}7)",
    ),
    _core("m9b5", _N, "half-diminished ninth", "1 b3 b5 b7 9", "{hd}9 {m}9b5 {m}9(b5)"),
    _core("dim9", _N, "diminished seventh with ninth", "1 b3 b5 bb7 9", "{dim}9"),
    _core("9#5", _N, "augmented dominant ninth", "1 3 #5 b7 9", "{aug}9 9{aug} 9+5 9(#5)"),
    _core("maj9#5", _N, "augmented major ninth", "1 3 #5 7 9", "{aug}{maj}9 {maj}9#5 {maj}9(#5)"),
    _core("11", _E, "dominant eleventh", "1 3 5 b7 9 11", "dom11", "3 9"),
    _core("maj11", _E, "major eleventh", "1 3 5 7 9 11", "{maj}11 {delta}11", "3 9"),
    _core("m11", _E, "minor eleventh", "1 b3 5 b7 9 11", "{m}11", "9"),
    _core("mMaj11", _E, "minor-major eleventh", "1 b3 5 7 9 11", "{m}{maj}11 {m}({maj}11)", "9"),
    _core("m11b5", _E, "half-diminished eleventh", "1 b3 b5 b7 9 11", "{hd}11 {m}11b5", "9"),
    _core("dim11", _E, "diminished seventh with eleventh", "1 b3 b5 bb7 9 11", "{dim}11", "9"),
    _core("11#5", _E, "augmented dominant eleventh", "1 3 #5 b7 9 11", "{aug}11 11(#5)", "3 9"),
    _core("13", _H, "dominant thirteenth", "1 3 5 b7 9 11 13", "dom13", "9 11"),
    _core("maj13", _H, "major thirteenth", "1 3 5 7 9 11 13", "{maj}13 {delta}13", "9 11"),
    _core("m13", _H, "minor thirteenth", "1 b3 5 b7 9 11 13", "{m}13", "9 11"),
    _core("m13b5", _H, "half-diminished thirteenth", "1 b3 b5 b7 9 11 13", "{hd}13", "9 11"),
    _core("13#5", _H, "augmented dominant thirteenth", "1 3 #5 b7 9 11 13", "{aug}13", "9 11"),
    _core(
        "mMaj13",
        _H,
        "minor-major thirteenth",
        "1 b3 5 7 9 11 13",
        "{m}{maj}13 {m}({maj}13)",
        "9 11",
    ),
)
"""Chord bodies in the order in which the handbook lists them."""


def _alter(degree: str, words: str, spellings: str = "") -> Modifier:
    return Modifier(
        degree, Change.ALTER, Family.ALTERED, words, (degree,), tuple(spellings.split())
    )


def _add(degree: str, words: str) -> Modifier:
    return Modifier(
        f"add{degree}", Change.ADD, Family.ADDED, f"added {words}", (degree,), (f"add({degree})",)
    )


def _omit(degree: str, words: str, spellings: str) -> Modifier:
    return Modifier(
        f"no{degree}",
        Change.OMIT,
        Family.OMITTED,
        f"without the {words}",
        (degree,),
        tuple(spellings.split()),
    )


MODIFIERS: tuple[Modifier, ...] = (
    Modifier("sus2sus4", Change.SUSPEND, _U, "suspended second and fourth", ("2", "4"), ("sus24",)),
    Modifier("sus4", Change.SUSPEND, _U, "suspended fourth", ("4",), ("sus",)),
    Modifier("sus2", Change.SUSPEND, _U, "suspended second", ("2",)),
    _alter("b5", "flat fifth", "-5"),
    _alter("#5", "sharp fifth", "+5 + aug5"),
    _alter("b6", "flat sixth"),
    _alter("b9", "flat ninth", "-9"),
    _alter("#9", "sharp ninth"),
    _alter("#11", "sharp eleventh"),
    _alter("b13", "flat thirteenth", "-13"),
    _add("2", "second"),
    _add("3", "third"),
    _add("4", "fourth"),
    _add("b6", "flat sixth"),
    _add("6", "sixth"),
    _add("b9", "flat ninth"),
    _add("9", "ninth"),
    _add("#9", "sharp ninth"),
    _add("11", "eleventh"),
    _add("#11", "sharp eleventh"),
    _add("b13", "flat thirteenth"),
    _add("13", "thirteenth"),
    _omit("1", "root", "omit1 noroot omitroot"),
    _omit("3", "third", "omit3 no3rd omit3rd"),
    _omit("5", "fifth", "omit5 no5th omit5th"),
    _omit("7", "seventh", "omit7"),
    _omit("9", "ninth", "omit9"),
    _omit("11", "eleventh", "omit11"),
)
"""Modifiers, in the order in which a canonical symbol prints them."""

BARE_ADDITIONS = ("9", "11", "13")
"""Numbers that mean an added tone when they stand in parentheses: ``C7(13)``, ``Cm7(11)``."""


def expand(template: str) -> tuple[str, ...]:
    """All spellings of one template, the printed one first: ``{m}7`` -> m7, min7, mi7, -7 …"""
    pieces = template.replace("{", "\0{").replace("}", "\0").split("\0")
    choices = [WORDS[p[1:]] if p.startswith("{") else (p,) for p in pieces]
    return tuple("".join(choice) for choice in product(*choices))


def _spellings(row: Core | Modifier) -> tuple[str, ...]:
    seen = dict.fromkeys([row.canonical])
    for template in row.spellings:
        seen.update(dict.fromkeys(expand(template)))
    return tuple(seen)


@cache
def core_spellings() -> dict[str, Core]:
    """Every accepted spelling of every body; an earlier row wins, though none collide."""
    found: dict[str, Core] = {}
    for row in CORES:
        for spelling in _spellings(row):
            found.setdefault(spelling, row)
    return found


@cache
def modifier_spellings() -> dict[str, Modifier]:
    """Every accepted spelling of every modifier."""
    found: dict[str, Modifier] = {}
    for row in MODIFIERS:
        for spelling in _spellings(row):
            found.setdefault(spelling, row)
    return found


def suffixes() -> tuple[SuffixRow, ...]:
    """Every accepted suffix with its synonyms, in the handbook's order."""
    rows: tuple[Core | Modifier, ...] = (*CORES, *MODIFIERS)
    return tuple(
        SuffixRow(row.family.value, row.words, row.canonical, _spellings(row)[1:], row.degrees)
        for row in rows
    )
