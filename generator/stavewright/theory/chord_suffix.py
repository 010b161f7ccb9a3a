"""Reading what follows the root of a chord symbol; `chord_meaning` works out the tones.

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
