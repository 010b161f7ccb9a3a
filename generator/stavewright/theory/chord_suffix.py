"""Reading what follows the root of a chord symbol; `chord_meaning` works out the tones.

A suffix is one body from `chord_table.CORES` and any number of modifiers, bare or in parentheses.
The longest body that lets the rest be read wins: in `madd9` that is `m`, although `ma` would do.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
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
from stavewright.theory.chord_tone import read_degree
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
    pieces: tuple[Piece, ...] = ()
    repeated: tuple[Piece, ...] = ()
    """Modifiers that were written again."""

    @property
    def canonical(self) -> str:
        """The suffix as we print it."""
        return self.core.canonical + "".join(self._printed())

    def without(self, piece: Piece) -> Suffix:
        """Give the suffix with one modifier dropped."""
        at = self.pieces.index(piece)
        return Suffix(self.core, self.pieces[:at] + self.pieces[at + 1 :], self.repeated)

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


@lru_cache(maxsize=2048)
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
        if _shares_fifth(core, plain[:length], pieces):
            continue
        if end == len(plain):
            return _merged(_suffix(core, pieces))
        furthest = max(furthest, end)
    raise TheoryError("not a chord suffix", text, furthest)


def _shares_fifth(core: Core, spelled: str, pieces: list[Piece]) -> bool:
    """Whether a fifth written as a number in the body is one of several: C7b5#5 has both.

    Then it is read as a modifier like the other. A fifth said by word, as in `dim`, is the body's.
    """
    if "5" not in spelled or "5" in core.degrees:
        return False
    return any(_number(piece) == 5 and piece.modifier.change is Change.ALTER for piece in pieces)


def _number(piece: Piece) -> int:
    return read_degree(piece.modifier.degrees[0])[0]


def _meddles(one: Piece, other: Piece) -> bool:
    """Whether two modifiers are about the same tone, or both take the third away."""
    both = {one.modifier.change, other.modifier.change}
    return _number(one) == _number(other) or both == {Change.SUSPEND}


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


def _suffix(core: Core, pieces: list[Piece]) -> Suffix:
    """Put the modifiers in order and set aside those that only say again what another says."""
    first: dict[Modifier, Piece] = {}
    repeated = [p for p in pieces if first.setdefault(p.modifier, p) is not p]
    ordered = sorted(first.values(), key=lambda piece: MODIFIERS.index(piece.modifier))
    return Suffix(core, tuple(ordered), tuple(repeated))


def _merged(suffix: Suffix) -> Suffix:
    """Let a body and a modifier that together have a name of their own be that body.

    `m7` with `b5` is the half-diminished seventh, `7` with `sus4` has a row of its own.
    """
    table = core_spellings()
    for piece in suffix.pieces:
        rest = suffix.without(piece)
        # Of several fifths or ninths none may vanish into the body, where another would replace it.
        if any(_meddles(other, piece) for other in rest.pieces):
            continue
        sign = piece.modifier.canonical
        for joined in (suffix.core.canonical + sign, f"{suffix.core.canonical}({sign})"):
            if joined in table:
                return _merged(Suffix(table[joined], rest.pieces, rest.repeated))
    return suffix
