"""Nashville numbers: chords written as degrees of the major scale, `1 6- 4 5/7`.

Common practice among session players, no source: degrees are those of the major scale whatever the
mode, a minus is minor, and a minor key is counted from its relative major, so that its tonic is 6-.
What follows the degree is a chord symbol's suffix; a bass after the slash is a degree too. Bars,
pushes and diamonds belong to the chart and not to the number.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from stavewright.theory.chord import Chord
from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key

if TYPE_CHECKING:
    from stavewright.theory.pitch import PitchName

_NUMBER: Final = re.compile(
    r"(?P<sign>[#b♯♭]{0,2})(?P<degree>[1-7])(?P<suffix>.*?)(?:/(?P<bass>[#b♯♭]{0,2}[1-7]))?"
)
_PLAIN: Final = str.maketrans("♯♭", "#b")


def nashville_number(chord: Chord, key: Key) -> str | None:
    """Write a chord as a number in a key: Am7 in C major is `6-7`, G/B is `5/7`.

    None for what has no number: augmented sixths, polychords, and roots or basses further off the
    scale than a double sharp or flat.
    """
    if chord.root is None or chord.upper is not None:
        return None
    root, bass = _degree(chord.root, key), _degree(chord.bass, key)
    if root is None or bass is None:
        return None
    suffix = re.sub(r"^m(?!aj)", "-", chord.suffix)
    return root + suffix + (f"/{bass}" if chord.bass != chord.root else "")


def read_nashville(text: str, key: Key) -> Chord:
    """Read a number in a key: `5/7` in C major is G/B; raises TheoryError with the place."""
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise TheoryError(
            "A Nashville number opens with a degree from 1 to 7, as in 6-7 or b7", text
        )
    root = _name(text, 0, match.end("degree"), key)
    bass = _name(text, *match.span("bass"), key) if match["bass"] else None
    try:
        return Chord.on(root, match["suffix"], bass)
    except TheoryError as fault:
        raise TheoryError(
            f"{match['suffix']!r} is not a chord suffix, or it contradicts itself: {fault.message}",
            text,
            *match.span("suffix"),
        ) from None


def _home(key: Key) -> PitchName:
    """Give the tonic of the major scale that the degrees are counted on."""
    return key.tonic if key.mode.has_major_third else Key.of_signature(key.signature).tonic


def _degree(name: PitchName, key: Key) -> str | None:
    interval = _home(key).interval_to(name)
    signs, rest = divmod(interval.altered, 100)
    if rest or abs(signs) > 2:
        return None
    return ("#" if signs > 0 else "b") * abs(signs) + str(interval.steps % 7 + 1)


def _name(text: str, start: int, end: int, key: Key) -> PitchName:
    """Read the degree that stands at a place in the text."""
    signs, degree = text[start : end - 1].translate(_PLAIN), Interval.of_degree(int(text[end - 1]))
    if len(set(signs)) > 1:
        raise TheoryError("A degree is raised or lowered, not both", text, start, end)
    altered = 100 * (signs.count("#") - signs.count("b"))
    # A lowered first degree leads down from the tonic; letters and cents say so by themselves.
    return _home(key) + Interval(degree.steps, degree.cents + altered)
