"""Reading what follows the root of a chord symbol, and working out the tones it asks for.

A suffix is one body from `chord_table.CORES` and any number of modifiers, bare or in parentheses.
The longest body that lets the rest be read wins: in `madd9` that is `m`, although `ma` would do.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from stavewright.theory.chord_table import (
    BARE_ADDITIONS,
    MODIFIERS,
    Change,
    Core,
    Modifier,
    core_spellings,
    modifier_spellings,
)
from stavewright.theory.chord_tone import Role, read_degree
from stavewright.theory.errors import TheoryError

PLAIN: Final = str.maketrans({"♭": "b", "♯": "#", "−": "-", "–": "-"})
"""Signs that read as their plain forms; one for one, so that places stay what they are."""
_SEPARATORS: Final = ", /"


@dataclass(frozen=True, slots=True)
class Piece:
    """A modifier and the words that wrote it."""

    modifier: Modifier
    written: str

    @property
    def written_alone(self) -> str:
        """The modifier as it is printed where a figure stands before it."""
        if self.modifier.change is Change.OMIT:
            return f"({self.modifier.canonical})"
        return self.modifier.canonical


@dataclass(frozen=True, slots=True)
class Suffix:
    """A suffix taken apart: the body and its modifiers in canonical order."""

    core: Core
    spelled_core: str
    """The body as written, which tells a fifth said by word (`dim`) from one said by number."""
    pieces: tuple[Piece, ...] = ()

    @property
    def canonical(self) -> str:
        """The suffix as we print it."""
        return self.core.canonical + "".join(self._printed())

    def without(self, piece: Piece) -> Suffix:
        """Give the suffix with one modifier dropped."""
        at = len(self.pieces) - 1 - self.pieces[::-1].index(piece)
        return Suffix(self.core, self.spelled_core, self.pieces[:at] + self.pieces[at + 1 :])

    @property
    def words(self) -> str:
        """What the suffix means: `dominant seventh with flat ninth, without the fifth`."""
        omitted = [p.modifier.words for p in self.pieces if p.modifier.change is Change.OMIT]
        others = [p.modifier.words for p in self.pieces if p.modifier.change is not Change.OMIT]
        given = " and ".join(others)
        joint = " and " if " with " in self.core.words else " with "
        return ", ".join([self.core.words + (joint + given if given else ""), *omitted])

    def _printed(self) -> list[str]:
        printed = []
        altered = [p for p in self.pieces if p.modifier.change is Change.ALTER]
        inner = "".join(p.modifier.canonical for p in altered)
        # After a bare letter or word an accidental would be read as the root's, so it is bracketed.
        bare = not self.core.canonical[-1:].isdigit()
        for piece in self.pieces:
            if piece.modifier.change is not Change.ALTER:
                printed.append(piece.written_alone)
            elif piece is altered[0]:
                printed.append(f"({inner})" if bare and not printed else inner)
        return printed


def read_suffix(text: str) -> Suffix:
    """Read a whole suffix; a TheoryError marks the part that is not understood, unexplained."""
    plain = text.translate(PLAIN)
    spellings = core_spellings()
    furthest = 0
    for length in range(len(plain), -1, -1):
        core = spellings.get(plain[:length])
        if core is None:
            continue
        pieces, end = read_modifiers(plain, length)
        if end == len(plain):
            return _merged(Suffix(core, plain[:length], _ordered(pieces)))
        furthest = max(furthest, end)
    raise TheoryError("not a chord suffix", text, furthest)


def read_modifiers(plain: str, start: int) -> tuple[list[Piece], int]:
    """Read modifiers from `start`: what was read, and where it stopped making sense."""
    pieces: list[Piece] = []
    at = start
    while at < len(plain):
        if plain[at] == "(":
            group, end = _read_group(plain, at)
        else:
            group, end = _read_one(plain, at)
        if not group:
            break
        pieces += group
        at = end
    return pieces, at


def _read_one(plain: str, start: int) -> tuple[list[Piece], int]:
    table = modifier_spellings()
    for end in range(min(len(plain), start + 9), start, -1):
        modifier = table.get(plain[start:end])
        if modifier is not None:
            return [Piece(modifier, plain[start:end])], end
    return [], start


def _read_group(plain: str, start: int) -> tuple[list[Piece], int]:
    """Read `(b9, #11)` or `(9)`: inside parentheses a bare number is an added tone."""
    close = plain.find(")", start)
    pieces: list[Piece] = []
    at = start + 1
    while 0 < at < close:
        if plain[at] in _SEPARATORS:
            at += 1
            continue
        bare = re.match(r"\d+", plain[at:close])
        found, end = _read_one(plain[:close], at)
        if bare is not None and bare[0] in BARE_ADDITIONS:
            found = [Piece(modifier_spellings()[f"add{bare[0]}"], bare[0])]
            end = at + len(bare[0])
        if not found:
            return [], start
        pieces += found
        at = end
    return (pieces, close + 1) if pieces else ([], start)


def _ordered(pieces: list[Piece]) -> tuple[Piece, ...]:
    return tuple(sorted(pieces, key=lambda piece: MODIFIERS.index(piece.modifier)))


def _merged(suffix: Suffix) -> Suffix:
    """Let a body and a modifier that together have a name of their own be that body.

    `m7` with `b5` is the half-diminished seventh, `7` with `sus4` has a row of its own.
    """
    table = core_spellings()
    for piece in suffix.pieces:
        sign = piece.modifier.canonical
        for joined in (suffix.core.canonical + sign, f"{suffix.core.canonical}({sign})"):
            if joined in table:
                rest = suffix.without(piece).pieces
                return _merged(Suffix(table[joined], suffix.spelled_core + piece.written, rest))
    return suffix


@dataclass(frozen=True, slots=True)
class Surplus:
    """A part that says nothing new: its words, the reason, the suffix that remains."""

    what: str
    meaning: str
    remaining: str


@dataclass(frozen=True, slots=True)
class Meaning:
    """The tones a suffix asks for, in chord order, and what it says in vain."""

    degrees: tuple[tuple[str, Role], ...]
    surplus: tuple[Surplus, ...]


def meaning_of(suffix: Suffix) -> Meaning:
    """Work out the tones of a suffix; a contradiction raises TheoryError without a place."""
    return _Assembly(suffix).result()


class _Assembly:
    """The tones while modifiers are being applied to a body. Lives for one call."""

    def __init__(self, suffix: Suffix) -> None:
        self.suffix = suffix
        self.core = list(suffix.core.degrees)
        self.degrees = list(suffix.core.degrees)
        self.altered: set[str] = set()
        self.surplus: list[Surplus] = []

    def result(self) -> Meaning:
        """Apply every modifier in turn and sort what there is."""
        steps = {
            Change.SUSPEND: self.suspend,
            Change.ALTER: self.alter,
            Change.ADD: self.add,
            Change.OMIT: self.omit,
        }
        for piece in self.suffix.pieces:
            steps[piece.modifier.change](piece)
        ordered = sorted(self.degrees, key=read_degree)
        return Meaning(tuple((d, self._role(d)) for d in ordered), tuple(self.surplus))

    def suspend(self, piece: Piece) -> None:
        """Put the second or fourth in the place of the third."""
        if "b5" in self.core and "b3" in self.core:
            raise TheoryError(
                f"a {self.suffix.core.words} is known by its minor third, which "
                f"{piece.written!r} takes away",
                suggestion=self.suffix.without(piece).canonical,
            )
        if "b3" in self.degrees:
            canonical = self.suffix.canonical
            major = canonical.removeprefix("m").replace("Maj", "maj")
            self._note("m", "the suspended tone stands in the place of the third", major)
        self.degrees = [d for d in self.degrees if d not in ("3", "b3")]
        for degree in piece.modifier.degrees:
            self.altered.add(degree)
            if degree == "4" and "11" in self.degrees:
                self._lower_eleventh()
            if degree in self.degrees:
                self._drop(piece, "the suspended tone is already there")
            else:
                self.degrees.append(degree)

    def alter(self, piece: Piece) -> None:
        """Raise or lower a tone of the body, or bring in an altered one."""
        (degree,) = piece.modifier.degrees
        number = read_degree(degree)[0]
        if degree in self.degrees:
            self._drop(piece, f"{self._core_words()} already has the {piece.modifier.words}")
            return
        if number == 5:
            self._refuse_opposite(piece)
        natural = str(number)
        if natural in self.degrees:
            if natural == self.core[-1] and number > 5 and "/" not in self.suffix.core.canonical:
                self._drop_number(piece, number)
            self.degrees.remove(natural)
        self.degrees.append(degree)
        self.altered.add(degree)

    def add(self, piece: Piece) -> None:
        """Put a tone beside those of the body."""
        (degree,) = piece.modifier.degrees
        number, signs = read_degree(degree)
        octave = str(number + 7 if number < 7 else number - 7)
        same = "b#"[signs > 0] * abs(signs) + octave
        if degree == "3" and "b3" in self.degrees:
            raise TheoryError("a minor chord has its third already; a major third contradicts it")
        if degree in self.degrees or same in self.degrees:
            self._drop(piece, f"{self._core_words()} already has that tone")
            return
        self.degrees.append(degree)
        self.altered.add(degree)

    def omit(self, piece: Piece) -> None:
        """Take a tone away."""
        (degree,) = piece.modifier.degrees
        gone = [d for d in self.degrees if read_degree(d)[0] == int(degree)]
        if not gone:
            self._drop(piece, f"{self._core_words()} has no such tone to leave out")
        self.degrees = [d for d in self.degrees if d not in gone]

    def _refuse_opposite(self, piece: Piece) -> None:
        fixed = [d for d in self.core if d in ("b5", "#5")]
        # A fifth written as a number may be joined by the other one: C7b5#5 has both.
        if fixed and "5" not in self.suffix.spelled_core:
            verb = "lowers" if fixed[0] == "b5" else "raises"
            other = "raises" if verb == "lowers" else "lowers"
            raise TheoryError(
                f"{self._core_words()} {verb} the fifth and {piece.written!r} {other} it",
                suggestion=self.suffix.without(piece).canonical,
            )

    def _lower_eleventh(self) -> None:
        """The fourth that is suspended is the eleventh of the stack."""
        self.degrees.remove("11")
        if self.core[-1] == "11":
            lower = self.suffix.canonical.replace("11", "9", 1)
            self._note("11", "the suspended fourth is the eleventh", lower)

    def _core_words(self) -> str:
        words = self.suffix.core.words
        return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"

    def _drop(self, piece: Piece, meaning: str) -> None:
        self._note(piece.written, meaning, self.suffix.without(piece).canonical)

    def _drop_number(self, piece: Piece, number: int) -> None:
        canonical = self.suffix.canonical
        lower = canonical.replace(str(number), str(number - 2), 1)
        self._note(
            str(number),
            f"the {piece.modifier.words} stands in the place of the natural one",
            lower,
        )

    def _note(self, what: str, meaning: str, remaining: str) -> None:
        self.surplus.append(Surplus(what, meaning, remaining))

    def _role(self, degree: str) -> Role:
        core = self.suffix.core
        if degree in self.altered:
            return Role.OPTIONAL if degree in core.omittable else Role.REQUIRED
        if degree in core.omittable:
            return Role.OPTIONAL
        if degree == "5" and len(self.degrees) > 2:
            return Role.OPTIONAL
        has_seventh = any(read_degree(d)[0] == 7 for d in self.degrees)
        if degree == "1" and has_seventh:
            return Role.OPTIONAL
        return Role.REQUIRED
