"""Chord symbols, Roman numerals and figured bass."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from stavewright.importing.model import Placed
from stavewright.importing.musicxml.place import NO_INTERVAL, PartState
from stavewright.importing.symbols import chord_text, figures_text, numeral_text
from stavewright.importing.tree import number, said, whole
from stavewright.theory import Letter, PitchName

_SUFFIXES: Final = {
    "major": "",
    "minor": "m",
    "augmented": "aug",
    "diminished": "dim",
    "dominant": "7",
    "major-seventh": "maj7",
    "minor-seventh": "m7",
    "diminished-seventh": "dim7",
    "augmented-seventh": "aug7",
    "half-diminished": "m7b5",
    "major-minor": "mMaj7",
    "major-sixth": "6",
    "minor-sixth": "m6",
    "dominant-ninth": "9",
    "major-ninth": "maj9",
    "minor-ninth": "m9",
    "dominant-11th": "11",
    "major-11th": "maj11",
    "minor-11th": "m11",
    "dominant-13th": "13",
    "major-13th": "maj13",
    "minor-13th": "m13",
    "suspended-second": "sus2",
    "suspended-fourth": "sus4",
    "power": "5",
}
"""The format's kinds of chords (MusicXML 4.0, `kind-value`) in our suffixes."""
_ROMAN: Final = ("I", "II", "III", "IV", "V", "VI", "VII")
_LOWER_KINDS: Final = ("minor", "diminished", "half-diminished")
_NUMERAL_SIGNS: Final = {
    "diminished": "o",
    "diminished-seventh": "o",
    "half-diminished": "ø",
    "augmented": "+",
}
_INVERSIONS: Final = (("", "6", "64"), ("7", "65", "43", "42"))
_PREFIXES: Final = {
    "sharp": "#",
    "flat": "b",
    "natural": "n",
    "double-sharp": "##",
    "sharp-sharp": "##",
    "flat-flat": "bb",
    "plus": "#",
    "cross": "#",
    "slash": "#",
    "backslash": "#",
    "vertical": "#",
}
"""Strokes and crosses through a figure raise it as a sharp does."""


def read_harmony(state: PartState, element: ET.Element) -> None:
    """One `harmony` element: a symbol, a numeral, or several stacked chords."""
    at = max(Fraction(0), state.now + state.length(number(said(element, "offset")) or Fraction(0)))
    if element.get("print-object") == "no":
        state.remains.leave("hidden chord symbol")
        return
    numeral = _numeral(element)
    if numeral is not None:
        text = numeral_text(numeral)
        if text is None:
            state.remains.leave(
                f"numeral that is not understood ({numeral})",
                many=f"numerals that are not understood ({numeral})",
            )
        else:
            state.bar.numerals.append(Placed(at, text))
    if element.find("root") is not None:
        _chord(state, element, at)


def _chord(state: PartState, element: ET.Element, at: Fraction) -> None:
    kind = element.find("kind")
    words = (kind.get("text") or "") if kind is not None else ""
    if said(kind) == "none":
        state.bar.chords.append(Placed(at, ""))
        return
    interval = state.transposition(whole(said(element, "staff")) or 1)
    root, bass = (_name(element.find(tag), tag) for tag in ("root", "bass"))
    if interval != NO_INTERVAL:
        root = root and root + interval
        bass = bass and bass + interval
    suffix = _SUFFIXES.get(said(kind))
    text = (
        None if root is None else chord_text(root, (suffix, words), list(_degrees(element)), bass)
    )
    if text is None:
        shown = f"{root or ''}{words or said(kind)}"
        state.remains.leave(
            f"chord symbol that is not understood ({shown})",
            many=f"chord symbols that are not understood ({shown})",
        )
        return
    state.bar.chords.append(Placed(at, text))


def _name(element: ET.Element | None, tag: str) -> PitchName | None:
    if element is None:
        return None
    step = said(element, f"{tag}-step").upper()
    alter = number(said(element, f"{tag}-alter")) or Fraction(0)
    if step not in Letter.__members__ or alter.denominator != 1 or abs(alter) > 3:
        return None
    return PitchName(Letter[step], int(alter) * 100)


def _degrees(element: ET.Element) -> Iterator[tuple[str, str, int]]:
    """Each degree as what is done with it, its number with its sign, its plain number."""
    for degree in element.findall("degree"):
        value = whole(said(degree, "degree-value"))
        alter = whole(said(degree, "degree-alter")) or 0
        if value is not None and abs(alter) <= 2:
            sign = "b" * -alter if alter < 0 else "#" * alter
            yield said(degree, "degree-type"), f"{sign}{value}", value


def _numeral(element: ET.Element) -> str | None:
    """A numeral as the file writes it, or from its degree, kind and inversion."""
    function = said(element, "function")
    if function:
        return function
    root = element.find("numeral/numeral-root")
    if root is None:
        return None
    degree = whole(root.text) or 0
    if not 1 <= degree <= len(_ROMAN):
        return said(root)
    kind = said(element, "kind")
    is_lower = kind.startswith(_LOWER_KINDS)
    alter = whole(said(element.find("numeral"), "numeral-alter")) or 0
    sign = "b" * -alter if alter < 0 else "#" * alter
    has_seventh = "seventh" in kind or kind in ("dominant", "half-diminished", "major-minor")
    figures = _INVERSIONS[has_seventh]
    inversion = whole(said(element, "inversion")) or 0
    figure = figures[inversion] if 0 <= inversion < len(figures) else ""
    roman = _ROMAN[degree - 1]
    quality = "maj" if kind == "major-seventh" and not inversion else ""
    return (
        sign
        + (roman.lower() if is_lower else roman)
        + _NUMERAL_SIGNS.get(kind, "")
        + quality
        + figure
    )


def read_figures(state: PartState, element: ET.Element) -> None:
    """Figures over the note that follows; several in a row share it out."""
    at = state.now + state.figure_offset
    length = state.length(number(said(element, "duration")) or Fraction(0))
    state.figure_offset += length
    texts = []
    for figure in element.findall("figure"):
        signs = [_PREFIXES.get(said(figure, tag), "") for tag in ("prefix", "suffix")]
        texts.append(f"{signs[0] or signs[1]}{said(figure, 'figure-number')}")
    text = figures_text([each for each in texts if each])
    if text is not None:
        state.bar.figures.append(Placed(at, text))
        if length:
            state.bar.figures.append(Placed(at + length, ""))
    elif any(texts):
        state.remains.leave(
            "figure of a bass that is not understood",
            many="figures of a bass that are not understood",
        )
