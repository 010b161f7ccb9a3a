"""The text that is offered for an article: claims, and the lines of music blocks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from fractions import Fraction

    from stavewright.theory.pitch import Pitch, PitchName

_LONGEST_CLAIM: Final = 400
"""Code points; what is longer an article reads as code."""
_MOST_HEADS: Final = 20
_OCTAVES: Final = range(0, 10)
"""A staff shows no others. Both limits are the block language's own."""
_MOST_SIGNS: Final = 350
"""Cents; the farthest alteration that has accidentals to print it with."""
_LEDGER_ROOM: Final = 13
"""Places above and below the five lines that six ledger lines reach."""
_CLEFS: Final = {"treble": 30, "bass": 18, "treble+8": 37, "treble+15": 44, "bass-8": 11}
"""The staff position of each clef's lowest line, the commonest clef first."""
_BETWEEN: Final = 27
"""B3: notes that lie lower on average are easier to read in the bass clef."""


def claim(noun: str, subject: str, statement: str, sign: str = "=") -> str | None:
    """Word a claim; None for one that no article would read."""
    text = f"{noun}: {subject} {sign} {statement}"
    return text if len(text) <= _LONGEST_CLAIM else None


def block(*lines: tuple[str, str | None]) -> str:
    """Write the lines of a block that there is something to write in."""
    return "".join(f"{word}: {value}\n" for word, value in lines if value)


def listed(names: Iterable[PitchName]) -> str:
    """Write names side by side."""
    return " ".join(name.spelled for name in names)


def together(pitches: Iterable[Pitch]) -> str:
    """Write pitches that sound at once."""
    return "&".join(map(str, pitches))


def clef_for(pitches: Sequence[Pitch]) -> str | None:
    """Give the clef in which all the pitches can be read; None where there is none."""
    if not all(_is_printable(pitch) for pitch in pitches) or not 0 < len(pitches) <= _MOST_HEADS:
        return None
    places = [pitch.staff_position for pitch in pitches]
    clefs = sorted(_CLEFS, key=lambda clef: clef == "treble")
    if sum(places) >= _BETWEEN * len(places):
        clefs = list(_CLEFS)
    return next((clef for clef in clefs if _is_in_reach(places, _CLEFS[clef])), None)


def clef_line(clef: str) -> tuple[str, str | None]:
    """Give the line that sets a clef; treble goes without saying."""
    return "clef", None if clef == "treble" else clef


def _is_printable(pitch: Pitch) -> bool:
    return pitch.octave in _OCTAVES and abs(pitch.cents_altered) <= _MOST_SIGNS


def _is_in_reach(places: Sequence[int], bottom: int) -> bool:
    top = bottom + 8
    return bottom - _LEDGER_ROOM <= min(places) and max(places) <= top + _LEDGER_ROOM


def value_text(length: Fraction) -> str:
    """Write a note value as blocks and claims have it: `1/4`, `1/1`."""
    return f"{length.numerator}/{length.denominator}"


def sentence(words: str) -> str:
    """Make a sentence of words: a capital first, a full stop last."""
    return f"{words[:1].upper()}{words[1:]}."
