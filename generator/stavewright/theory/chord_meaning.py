"""Working out the tones that a suffix asks for, and what it says in vain."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from stavewright.theory.chord_table import Change
from stavewright.theory.chord_tone import Role, read_degree
from stavewright.theory.errors import TheoryError

if TYPE_CHECKING:
    from stavewright.theory.chord_suffix import Piece, Suffix


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


@lru_cache(maxsize=2048)
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
        for piece in self.suffix.repeated:
            self._note(piece.written, "it is said twice", self.suffix.canonical)
        for piece in self.suffix.pieces:
            steps[piece.modifier.change](piece)
        ordered = sorted(self.degrees, key=read_degree)
        return Meaning(tuple((d, self._role(d)) for d in ordered), tuple(self.surplus))

    def suspend(self, piece: Piece) -> None:
        """Put the second or fourth in the place of the third."""
        if "b5" in self.core and "b3" in self.core:
            raise TheoryError(
                f"A {self.suffix.core.words} is known by its minor third, which "
                f"{piece.written!r} takes away",
                suggestion=self.suffix.without(piece).canonical,
            )
        if "b3" in self.degrees:
            canonical = self.suffix.canonical
            major = canonical.removeprefix("m").replace("Maj", "maj")
            self._note("m", "the suspended tone stands in the place of the third", major)
        self.degrees = [d for d in self.degrees if d not in ("3", "b3")]
        wanted = piece.modifier.degrees
        self.altered.update(wanted)
        if "4" in wanted and "11" in self.degrees:
            self._lower_eleventh()
        missing = [degree for degree in wanted if degree not in self.degrees]
        if 0 < len(missing) < len(wanted):
            raise TheoryError(
                f"{piece.written!r} suspends a tone that is suspended already",
                suggestion=self.suffix.without(piece).canonical,
            )
        if not missing:
            self._drop(piece, "the suspended tone is already there")
        self.degrees += missing

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
        if number == 6 and natural in self.degrees:
            raise TheoryError(
                f"{self._core_words().capitalize()} has the natural sixth, which "
                f"{piece.written!r} contradicts",
                suggestion=self.suffix.without(piece).canonical,
            )
        if natural in self.degrees:
            if natural == self.core[-1] and number > 6 and "/" not in self.suffix.core.canonical:
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
            raise TheoryError("A minor chord has its third already; a major third contradicts it")
        if degree in self.degrees or same in self.degrees:
            self._drop(piece, f"{self._core_words()} already has that tone")
            return
        self.degrees.append(degree)
        self.altered.add(degree)

    def omit(self, piece: Piece) -> None:
        """Take a tone away."""
        (degree,) = piece.modifier.degrees
        gone = [d for d in self.degrees if read_degree(d)[0] == int(degree)]
        if self.altered.union(("b5", "#5")).intersection(gone):
            raise TheoryError(
                f"{piece.written!r} leaves out a tone that the symbol has just altered or added",
                suggestion=self.suffix.without(piece).canonical,
            )
        if not gone:
            self._drop(piece, f"{self._core_words()} has no such tone to leave out")
        self.degrees = [d for d in self.degrees if d not in gone]

    def _refuse_opposite(self, piece: Piece) -> None:
        fixed = [d for d in self.core if d in ("b5", "#5")]
        if fixed:
            verb = "lowers" if fixed[0] == "b5" else "raises"
            other = "raises" if verb == "lowers" else "lowers"
            core = self._core_words().capitalize()
            raise TheoryError(
                f"{core} {verb} the fifth and {piece.written!r} {other} it",
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
