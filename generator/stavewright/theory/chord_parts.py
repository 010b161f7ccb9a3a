"""A chord symbol taken apart for typesetting, so that accidentals and raised figures can be set."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from stavewright.theory.pitch import PitchName

_BODY: Final = re.compile(r"(?:m(?!aj)|dim|aug)?")
_PIECE: Final = re.compile(
    r"\([^)]*\)|[Mm]aj\d*|sus2sus4|sus\d|add[b#]?\d+|\d+/\d+|[b#]\d+|alt|\d+|.", re.DOTALL
)


_WRITTEN_BODY: Final = re.compile(r"(?:min|Min|MI|mi|m(?!a)|-|dim|Dim|aug|Aug)?")
_PRINTED: Final = (
    (re.compile("[°º]|^o"), "°"),
    (re.compile("Ø|^hd"), "ø"),
    (re.compile("[Δ△]"), "∆"),
)
"""How signs that are typed in several ways are printed: degree, stroked o, and increment signs."""


@dataclass(frozen=True, slots=True)
class ChordParts:
    """The pieces of a symbol in reading order. Accidentals are plain `#` and `b` throughout."""

    root: str
    """The root's letter; empty for a label that has none."""
    accidental: str
    """The root's accidental: ``, `#`, `bb`."""
    quality: str
    """What is set on the line after the root: `m`, `dim`, `aug` or nothing."""
    raised: tuple[str, ...] = ()
    """What is set raised: `7`, `maj7`, `b5`, `sus4`, `6/9`, `(no5)`."""
    bass: str = ""
    """The letter after the slash."""
    bass_accidental: str = ""
    upper: ChordParts | None = None
    """The chord above the line of a polychord."""

    def under(self, upper: ChordParts) -> ChordParts:
        """Give these parts with another chord above."""
        return replace(self, upper=upper)


def split_parts(root: PitchName, suffix: str, bass: PitchName | None) -> ChordParts:
    """Take a canonical suffix apart."""
    body = _BODY.match(suffix)
    quality = body[0] if body else ""
    raised = tuple(piece.replace("Maj", "maj") for piece in _PIECE.findall(suffix[len(quality) :]))
    return _parts(root, quality, raised, bass)


def split_written(root: PitchName, suffix: str, bass: PitchName | None) -> ChordParts:
    """Take a suffix apart as its author wrote it: `ø7` stays so, `-7` is a minus and a raised 7."""
    body = _WRITTEN_BODY.match(suffix)
    quality = body[0] if body else ""
    rest = suffix[len(quality) :]
    for typed, printed in _PRINTED:
        rest = typed.sub(printed, rest)
    return _parts(root, quality.replace("-", "−"), tuple(_PIECE.findall(rest)), bass)


def _parts(
    root: PitchName, quality: str, raised: tuple[str, ...], bass: PitchName | None
) -> ChordParts:
    return ChordParts(
        root.letter.name,
        root.spelled[1:],
        quality,
        raised,
        bass.letter.name if bass else "",
        bass.spelled[1:] if bass else "",
    )
