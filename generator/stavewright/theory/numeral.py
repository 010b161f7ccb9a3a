"""Roman numerals: a chord named by its place in a key.

Case and sign fix the triad, figures the seventh and the bass. A numeral is not a chord until it is
given a key; `numeral_chord` says how it becomes one, and `numeral_naming` goes the other way.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from stavewright.theory.errors import TheoryError
from stavewright.theory.numeral_chord import (
    advice_in,
    chord_in,
    key_of_target,
    readings_in,
    suspended_in,
)
from stavewright.theory.numeral_table import ROMANS, Case, Figures, Sign, Special
from stavewright.theory.numeral_text import read_numeral, split_applied

if TYPE_CHECKING:
    from stavewright.theory.chord import Chord
    from stavewright.theory.key import Key
    from stavewright.theory.numeral_chord import NumeralAdvice
    from stavewright.theory.pitch import PitchName

_HALF_DIMINISHED_TARGET: Final = re.compile(r"(?P<head>[#b♯♭]*(?:[IV]+|[iv]+))(?:ø|Ø|hd)\d*")


@dataclass(frozen=True, slots=True)
class NumeralParts:
    """The pieces of a numeral in reading order. Accidentals are plain `#` and `b`."""

    accidental: str
    body: str
    """`V`, `vii`, or a name: `N`, `It`, `Cad`."""
    sign: str
    """`o`, `ø`, `+` or nothing; set raised."""
    figures: tuple[str, ...]
    """Stacked after the body, top down."""
    parenthesised: bool
    """Whether the figures stand in parentheses, as in V(64)."""
    extras: str
    """Set after the figures: `b9`, `sus4`, `alt`."""
    suspensions: tuple[tuple[str, str], ...]
    """Each a figure and the one it moves to."""
    applied_to: NumeralParts | None


@dataclass(frozen=True, slots=True)
class Numeral:
    """A Roman numeral as written, not yet in a key."""

    degree: int
    """Scale degree of the root, 1 to 7; of the bass in an augmented sixth."""
    alteration: int
    """Half steps by which accidentals before the numeral move the degree."""
    case: Case
    sign: Sign
    special: Special
    """The name of a chord that has one in the place of a numeral."""
    figures: Figures
    major_seventh: bool
    """Whether `maj` stands before the figures."""
    extras: str
    """Alterations, suspended and added tones as in a chord symbol: `b9`, `sus4`."""
    suspensions: tuple[tuple[int, int], ...]
    """Figures above the bass and what they move to: V(4-3) has ((4, 3),)."""
    parenthesised: bool
    """Whether the six-four of V(64) stands in parentheses."""
    applied_to: Numeral | None
    """The numeral after the slash, whose key is tonicised."""
    text: str = field(default="", compare=False)
    """As written."""

    @classmethod
    def parse(cls, text: str) -> Numeral:
        """Read `V65/V`, `viio7`, `iiø65`, `bVII`, `N6`, `Ger65`, `Cad64`, `V(64)`, `V7(4-3)`.

        Raises TheoryError with the place and, where one is near, a suggestion.
        """
        head, target_at = split_applied(text)
        try:
            read = read_numeral(head)
        except TheoryError as error:
            raise error.within(text, 0) from None
        target = None if target_at is None else _read_target(text, target_at)
        return cls(
            degree=read.degree,
            alteration=read.alteration,
            case=read.case,
            sign=read.sign,
            special=read.special,
            figures=read.figures,
            major_seventh=read.major_seventh,
            extras=read.extras,
            suspensions=read.suspensions,
            parenthesised=read.parenthesised,
            applied_to=target,
            text=text,
        )

    @property
    def roman(self) -> str:
        """The bare numeral in its case; empty for a named chord."""
        if self.special is not Special.NONE:
            return ""
        roman = ROMANS[self.degree - 1]
        return roman if self.case is Case.UPPER else roman.lower()

    @property
    def inversion(self) -> int:
        """0 for the root in the bass, 1 for the third, 2 for the fifth, 3 for the seventh."""
        return (self.figures.bass - 1) // 2

    @property
    def is_cadential(self) -> bool:
        """Whether the label itself says cadential six-four; I64 may be one as well."""
        return self.special is Special.CADENTIAL

    @property
    def parts(self) -> NumeralParts:
        """The numeral taken apart for typesetting."""
        signs = "" if self.special is not Special.NONE else _accidental(self.alteration)
        stack = self.figures.stack
        if self.major_seventh:
            stack = (f"maj{stack[0]}", *stack[1:])
        return NumeralParts(
            accidental=signs,
            body=self._body,
            sign=self.sign.value,
            figures=stack,
            parenthesised=self.parenthesised,
            extras=self.extras,
            suspensions=tuple((str(a), str(b)) for a, b in self.suspensions),
            applied_to=self.applied_to.parts if self.applied_to else None,
        )

    def key_in(self, key: Key) -> Key:
        """Give the key the numeral is counted in: that of its target if it is applied."""
        if self.applied_to is None:
            return key
        try:
            return key_of_target(self.applied_to, key)
        except TheoryError as error:
            offset = max(0, len(self.text) - len(self.applied_to.text))
            raise error.within(self.text, offset) from None

    def chord(self, key: Key) -> Chord:
        """Give the chord it names in a key, over the bass that its figures ask for.

        A suspension gives the chord it resolves to. Raises TheoryError for a numeral that has no
        meaning in the key: lower-case vii in minor.
        """
        return chord_in(self, key)

    def readings(self, key: Key) -> tuple[Chord, ...]:
        """Give every chord the label is used for in the trade, `chord(key)` first.

        More than one for I7, IV7 and the like, which blues and jazz mean as dominant sevenths.
        """
        return readings_in(self, key)

    def suspended(self, key: Key) -> tuple[PitchName, ...]:
        """Give the notes that the suspensions hold over, besides those of the chord."""
        return suspended_in(self, key)

    def advice(self, key: Key) -> tuple[NumeralAdvice, ...]:
        """Say what could be written more plainly in this key: bVI in minor is VI."""
        return advice_in(self, key)

    @property
    def _body(self) -> str:
        if self.parenthesised:
            return "V"
        return self.special.value or self.roman

    def __str__(self) -> str:
        if self.special is Special.NONE:
            head = _accidental(self.alteration) + self.roman + self.sign.value
        else:
            head = self._body + self.sign.value
        figures = ("maj" if self.major_seventh else "") + self.figures.text
        if self.parenthesised:
            figures = f"({figures})"
        held = "".join(f"({above}-{below})" for above, below in self.suspensions)
        target = f"/{self.applied_to}" if self.applied_to else ""
        return head + figures + self.extras + held + target


def _accidental(alteration: int) -> str:
    return ("#" if alteration > 0 else "b") * abs(alteration)


def _read_target(text: str, at: int) -> Numeral:
    """Read what stands after the slash: a numeral without figures."""
    if at == len(text):
        raise TheoryError("After the slash stands the numeral it is applied to", text, at - 1, at)
    if text[at] in "1234567":
        end = at + len(text[at:].split("/")[0])
        roman = ROMANS[int(text[at]) - 1]
        raise TheoryError("Degrees are counted in Roman numerals", text, at, end, roman)
    half = _HALF_DIMINISHED_TARGET.fullmatch(text, at)
    if half is not None:
        raise TheoryError(
            "Half-diminished is said of a seventh chord; a degree is at most diminished",
            text,
            at,
            len(text),
            f"{half['head'].lower()}o",
        )
    try:
        target = Numeral.parse(text[at:])
    except TheoryError as error:
        raise error.within(text, at) from None
    bare = str(target).removesuffix(f"/{target.applied_to}" if target.applied_to else "")
    sign = "o" if target.sign is Sign.HALF_DIMINISHED else target.sign.value
    plain = _accidental(target.alteration) + target.roman + sign
    if target.special is not Special.NONE:
        plain = Special.NEAPOLITAN.value
    if bare != plain:
        end = at + len(text[at:].split("/")[0])
        raise TheoryError(
            "A chord is applied to a degree, which takes no figures", text, at, end, plain
        )
    return target
