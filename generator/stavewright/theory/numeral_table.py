"""What the signs of a Roman numeral stand for: cases, quality signs, figures, named chords.

Common practice, no source, where schools agree; where they do not, every school's label is read
and none is called wrong.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

ROMANS: Final = ("I", "II", "III", "IV", "V", "VI", "VII")


class Case(Enum):
    """Upper for a major or augmented triad, lower for a minor or diminished one."""

    UPPER = "upper"
    LOWER = "lower"


class Sign(Enum):
    """The quality sign after a numeral; the value is how we print it."""

    NONE = ""
    DIMINISHED = "o"
    HALF_DIMINISHED = "ø"
    AUGMENTED = "+"


class Special(Enum):
    """Chords with a name in the place of a numeral; the value is how the label begins."""

    NONE = ""
    CADENTIAL = "Cad"
    """The six-four before a dominant: tonic notes over the fifth degree."""
    NEAPOLITAN = "N"
    """The major triad on the lowered second degree."""
    ITALIAN = "It"
    FRENCH = "Fr"
    GERMAN = "Ger"
    COMMON_TONE = "CT"
    """The diminished seventh that shares the root of the chord it decorates: D# F# A C about C."""

    @property
    def is_augmented_sixth(self) -> bool:
        """Whether it is one of the three augmented sixth chords."""
        return self in AUGMENTED_SIXTHS


SIGNS: Final[dict[str, Sign]] = {
    "": Sign.NONE,
    "o": Sign.DIMINISHED,
    "°": Sign.DIMINISHED,
    "º": Sign.DIMINISHED,
    "ø": Sign.HALF_DIMINISHED,
    "Ø": Sign.HALF_DIMINISHED,
    "hd": Sign.HALF_DIMINISHED,
    "+": Sign.AUGMENTED,
}
"""How the quality signs may be typed."""


@dataclass(frozen=True, slots=True)
class Figures:
    """Figures after a numeral: what they add to the triad and which tone they put in the bass."""

    text: str
    stack: tuple[str, ...]
    """Set one above the other, top down."""
    highest: int
    """The last tone counted from the root: 5 for a triad, 7, 9, 11, 13."""
    bass: int
    """The chord tone in the bass, counted from the root: 1, 3, 5 or 7."""


FIGURES: Final[dict[str, Figures]] = {
    row.text: row
    for row in (
        Figures("", (), 5, 1),
        Figures("5", ("5",), 5, 1),
        Figures("53", ("5", "3"), 5, 1),
        Figures("6", ("6",), 5, 3),
        Figures("63", ("6", "3"), 5, 3),
        Figures("64", ("6", "4"), 5, 5),
        Figures("7", ("7",), 7, 1),
        Figures("65", ("6", "5"), 7, 3),
        Figures("653", ("6", "5", "3"), 7, 3),
        Figures("43", ("4", "3"), 7, 5),
        Figures("643", ("6", "4", "3"), 7, 5),
        Figures("42", ("4", "2"), 7, 7),
        Figures("642", ("6", "4", "2"), 7, 7),
        Figures("2", ("2",), 7, 7),
        Figures("9", ("9",), 9, 1),
        Figures("765", ("7", "6", "5"), 9, 3),
        Figures("7653", ("7", "6", "5", "3"), 9, 3),
        Figures("6543", ("6", "5", "4", "3"), 9, 5),
        Figures("6432", ("6", "4", "3", "2"), 9, 7),
        Figures("11", ("11",), 11, 1),
        Figures("13", ("13",), 13, 1),
    )
}
"""Every figure that may follow a numeral.

Those of inverted ninth chords are what thoroughbass counts above each bass; a ninth in the bass is
not written.
"""

MAJOR_SEVENTH_WORDS: Final = ("maj", "M", "Δ")
"""Before a seventh figure: the seventh is major, whatever the mode says."""

SEVENTH_OF_TRIAD: Final = {"": "7", "5": "7", "53": "7", "6": "65", "63": "65", "64": "43"}
"""The seventh chord in the same position as a triad's figure."""

AUGMENTED_SIXTHS: Final[dict[Special, tuple[str, tuple[str, ...], tuple[str, ...]]]] = {
    Special.ITALIAN: ("Italian augmented sixth", ("1", "3", "#6"), ("6",)),
    Special.FRENCH: ("French augmented sixth", ("1", "3", "#4", "#6"), ("43", "6")),
    Special.GERMAN: ("German augmented sixth", ("1", "3", "5", "#6"), ("65", "6")),
}
"""Name, tones counted from the bass (the lowered sixth degree), figures it may carry."""

AUGMENTED_SIXTH_BASSES: Final[dict[Special, dict[str, str]]] = {
    Special.ITALIAN: {"6": "1", "53": "#6", "64": "3"},
    Special.FRENCH: {"43": "1", "6": "1", "7": "#4", "65": "#6", "42": "3"},
    Special.GERMAN: {"65": "1", "6": "1", "7": "#6", "43": "3", "42": "5"},
}
"""The tone in the bass by figure, counted as in `AUGMENTED_SIXTHS`; the usual bass first.

The figures are those of the same notes in thirds: F# Ab C Eb is Ger7, and the usual position, over
Ab, is its first inversion. With the raised fourth in the bass the sixth becomes a diminished third.
"""

DIMINISHED_THIRDS: Final = {Special.ITALIAN: "53", Special.FRENCH: "65", Special.GERMAN: "7"}
"""The figure for which some write `o3`, as in Gero3: the raised fourth is in the bass."""

SPECIAL_WORDS: Final[dict[str, Special]] = {
    "Cad": Special.CADENTIAL,
    "N": Special.NEAPOLITAN,
    "It": Special.ITALIAN,
    "Fr": Special.FRENCH,
    "Ger": Special.GERMAN,
    "CT": Special.COMMON_TONE,
}
SPECIAL_FIGURES: Final[dict[Special, tuple[str, ...]]] = {
    Special.CADENTIAL: ("64",),
    Special.NEAPOLITAN: ("6", "", "64", "53"),
    Special.COMMON_TONE: ("7", "65", "43", "42"),
    **{special: tuple(basses) for special, basses in AUGMENTED_SIXTH_BASSES.items()},
}
"""Figures that may follow each name, the usual one first."""

SUSPENSIONS: Final = frozenset({(9, 8), (7, 6), (4, 3), (2, 3), (6, 5), (7, 8), (2, 1), (5, 6)})
"""Pairs that may stand in parentheses as in V(4-3), counted from the bass."""
