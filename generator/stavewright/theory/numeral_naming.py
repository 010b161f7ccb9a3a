"""From a chord and a key to a numeral: the label a teacher would most likely write.

Every label that is offered has been turned back into a chord and compared, so none can be wrong;
the order of trial decides which of several right ones is offered.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from stavewright.theory.chord_suffix import read_suffix
from stavewright.theory.chord_table import Change
from stavewright.theory.chord_tone import degree_interval
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key, Mode
from stavewright.theory.numeral import Numeral
from stavewright.theory.numeral_table import AUGMENTED_SIXTH_BASSES, AUGMENTED_SIXTHS, ROMANS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stavewright.theory.chord import Chord
    from stavewright.theory.chord_suffix import Suffix

_BODIES: Final[dict[str, tuple[bool, str, str]]] = {
    "": (True, "", ""),
    "m": (False, "", ""),
    "dim": (False, "o", ""),
    "aug": (True, "+", ""),
    "7": (True, "", "7"),
    "maj7": (True, "", "maj7"),
    "m7": (False, "", "7"),
    "mMaj7": (False, "", "maj7"),
    "dim7": (False, "o", "7"),
    "m7b5": (False, "ø", "7"),
    "dimMaj7": (False, "o", "maj7"),
    "7#5": (True, "+", "7"),
    "maj7#5": (True, "+", "maj7"),
    "9": (True, "", "9"),
    "maj9": (True, "", "maj9"),
    "m9": (False, "", "9"),
    "mMaj9": (False, "", "maj9"),
    "m9b5": (False, "ø", "9"),
    "11": (True, "", "11"),
    "m11": (False, "", "11"),
    "13": (True, "", "13"),
    "maj13": (True, "", "maj13"),
    "m13": (False, "", "13"),
    "7alt": (True, "", "7alt"),
    "6": (True, "", "add6"),
    "m6": (False, "", "add6"),
    "sus4": (True, "", "sus4"),
    "sus2": (True, "", "sus2"),
    "7sus4": (True, "", "7sus4"),
    "7b5": (True, "", "7b5"),
    "9sus4": (True, "", "9sus4"),
    "13sus4": (True, "", "13sus4"),
    "7sus2": (True, "", "7sus2"),
    "maj7sus4": (True, "", "maj7sus4"),
    "maj7sus2": (True, "", "maj7sus2"),
    "6/9": (True, "", "add6add9"),
    "m6/9": (False, "", "add6add9"),
    "9#5": (True, "+", "9"),
    "maj11": (True, "", "maj11"),
    "m11b5": (False, "ø", "11"),
}
"""Body of a chord symbol -> upper case?, sign, figures of a numeral."""

_INVERTED: Final = {
    ("", 3): "6",
    ("", 5): "64",
    ("7", 3): "65",
    ("7", 5): "43",
    ("7", 7): "42",
    ("9", 3): "765",
    ("9", 5): "6543",
    ("9", 7): "6432",
}
_APPLIED: Final = {
    "": "V",
    "7": "V",
    "9": "V",
    "dim": "vii",
    "dim7": "vii",
    "m7b5": "vii",
    "aug": "V",
    "7#5": "V",
    "7alt": "V",
}
"""The chords that point to another degree, and the numeral they have there."""


def numeral_for(chord: Chord, key: Key) -> Numeral | None:
    """Give the numeral of a chord in a key, or None where numerals have no word for it.

    The chord is always one of the numeral's `readings` in that key. Diatonic chords come first,
    then applied dominants, then borrowed and altered ones.
    """
    if chord.upper is not None or chord.has_foreign_bass:
        return None
    texts = _augmented_sixths(chord) if chord.root is None else _trials(chord, key)
    for text in texts:
        numeral = _fitting(text, chord, key)
        if numeral is not None:
            return numeral
    return None


def _fitting(text: str, chord: Chord, key: Key) -> Numeral | None:
    try:
        numeral = Numeral.parse(text)
        return numeral if chord in numeral.readings(key) else None
    except TheoryError:
        return None


def _augmented_sixths(chord: Chord) -> Iterator[str]:
    low = chord.tone(chord.bass)
    for special, (_, degrees, _) in AUGMENTED_SIXTHS.items():
        if chord.degrees == degrees and low is not None:
            basses = AUGMENTED_SIXTH_BASSES[special]
            figure = next(each for each, degree in basses.items() if degree == low.degree)
            for target in ("", "/V", "/iv", "/IV", "/ii"):
                yield special.value + figure + target


def _trials(chord: Chord, key: Key) -> Iterator[str]:
    """Labels to try, the likeliest first."""
    suffix = read_suffix(chord.suffix)
    if suffix.core.canonical not in _BODIES or chord.root is None:
        return
    upper, sign, figures = _BODIES[suffix.core.canonical]
    tail = _figures(chord, figures)
    if tail is None:
        return
    tail = sign + tail + _extras(suffix)
    degree = key.degree(chord.root)[0]
    roman = ROMANS[degree - 1] if upper else ROMANS[degree - 1].lower()
    at_home = _is_at_home(chord, key)
    if at_home or (degree == 1 and suffix.core.canonical in ("", "m")):
        yield roman + tail
    if chord.root == key.tonic + degree_interval("b2") and figures == "" and tail == "6":
        yield "N6"
    yield from _applied(suffix, tail, key)
    yield roman + tail
    for accidental in ("b", "#", "bb", "##"):
        yield accidental + roman + tail


def _figures(chord: Chord, figures: str) -> str | None:
    """Give the figures for the chord's bass; None where no figure puts that tone there."""
    if chord.bass == chord.root:
        return figures
    bass = next(tone for tone in chord.tones if tone.name == chord.bass)
    major = "maj" if figures.startswith("maj") else ""
    inverted = _INVERTED.get((figures.removeprefix("maj"), bass.number))
    return None if inverted is None else major + inverted


def _extras(suffix: Suffix) -> str:
    return "".join(
        f"({piece.modifier.canonical})"
        if piece.modifier.change is Change.OMIT
        else piece.modifier.canonical
        for piece in suffix.pieces
    )


def _is_at_home(chord: Chord, key: Key) -> bool:
    """Whether the key's own notes suffice; minor has both its sixths and both its sevenths."""
    own = set(key.names)
    if key.mode is Mode.MINOR:
        own |= {key.tonic + degree_interval("6"), key.tonic + degree_interval("7")}
    return own.issuperset(chord.names)


def _applied(suffix: Suffix, tail: str, key: Key) -> Iterator[str]:
    body = _APPLIED.get(suffix.core.canonical)
    if body is None:
        return
    for target in _targets(key):
        yield f"{body}{tail}/{target}"


def _targets(key: Key) -> Iterator[str]:
    """The degrees that may be tonicised: those with a major or minor triad, the dominant first."""
    for degree in (5, 2, 6, 4, 3, 7):
        root = key.names[degree - 1]
        if degree == 5 and key.mode is Mode.MINOR:
            # What leads to the fifth degree of minor leads to its dominant, which is major.
            yield "V"
        for triad, is_upper in ((("3", "5"), True), (("b3", "5"), False)):
            if all(key.contains(root + degree_interval(d)) for d in triad):
                yield ROMANS[degree - 1] if is_upper else ROMANS[degree - 1].lower()
