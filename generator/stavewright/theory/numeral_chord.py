"""From a numeral and a key to a chord.

Rulings, where the trade has more than one habit (common practice, no source):

- Degrees are those of the mode; in minor III, VI and VII stand on the natural ones. The diminished
  chords on seven and the lower-case chords on six stand on the raised degrees.
- The seventh is diatonic to the mode where the triad is. On any other triad, and on a root that an
  accidental has moved, it is a minor seventh, as in a dominant: bVII7 in D major is C7.
- An applied chord is read in the key of its target, major or minor by the target's case.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from stavewright.theory.chord import Chord
from stavewright.theory.chord_parts import ChordParts
from stavewright.theory.chord_table import CORES
from stavewright.theory.chord_tone import (
    ChordTone,
    Role,
    degree_interval,
    degree_of,
    read_degree,
)
from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key, Mode
from stavewright.theory.numeral_table import (
    AUGMENTED_SIXTH_BASSES,
    AUGMENTED_SIXTHS,
    FIGURES,
    Case,
    Figures,
    Sign,
    Special,
)

if TYPE_CHECKING:
    from stavewright.theory.numeral import Numeral
    from stavewright.theory.pitch import PitchName

_MINOR_SECOND: Final = degree_interval("b2")
_AUGMENTED_SECOND: Final = degree_interval("#2")
_MINOR_SIXTH: Final = degree_interval("b6")
_HALF_STEP: Final = Interval(0, 100)
_TRIADS: Final[dict[tuple[Case, Sign], tuple[str, str]]] = {
    (Case.UPPER, Sign.NONE): ("3", "5"),
    (Case.LOWER, Sign.NONE): ("b3", "5"),
    (Case.LOWER, Sign.DIMINISHED): ("b3", "b5"),
    (Case.LOWER, Sign.HALF_DIMINISHED): ("b3", "b5"),
    (Case.UPPER, Sign.AUGMENTED): ("3", "#5"),
}
_SIGNED_SEVENTHS: Final = {Sign.DIMINISHED: "bb7", Sign.HALF_DIMINISHED: "b7"}
_SUFFIXES: Final = {core.degrees: core.canonical for core in CORES}


@dataclass(frozen=True, slots=True)
class NumeralAdvice:
    """A plainer way to write a numeral in its key."""

    message: str
    suggestion: str


# A page repeats a few numerals in a few keys.
@lru_cache(maxsize=1024)
def chord_in(numeral: Numeral, key: Key) -> Chord:
    """Give the chord of a numeral in a key."""
    local = numeral.key_in(key)
    if numeral.special.is_augmented_sixth:
        lowered_sixth = local.tonic + _MINOR_SIXTH
        return augmented_sixth(numeral.special, lowered_sixth, numeral.figures)
    return _build(numeral, local, _seventh(numeral, local))


@lru_cache(maxsize=1024)
def readings_in(numeral: Numeral, key: Key) -> tuple[Chord, ...]:
    """Give every chord a numeral is used for, the textbook's first."""
    first = chord_in(numeral, key)
    if numeral.special is Special.COMMON_TONE and numeral.figures.text == "7":
        # The label says nothing of the bass, which mostly is the common tone.
        return (first, *(first.over(name) for name in first.names[1:]))
    is_plain = numeral.case is Case.UPPER and numeral.sign is Sign.NONE
    if not is_plain or numeral.special is not Special.NONE:
        return (first,)
    if numeral.major_seventh or numeral.figures.highest < 7:
        return (first,)
    local = numeral.key_in(key)
    if _seventh(numeral, local) == "7":
        return (first, _build(numeral, local, "b7"))
    minor = Key(local.tonic, Mode.MINOR)
    root = _root(numeral, local)
    borrowed = _is_moved(numeral, local) and minor.contains(root + degree_interval("7"))
    return (first, _build(numeral, local, "7")) if borrowed else (first,)


def suspended_in(numeral: Numeral, key: Key) -> tuple[PitchName, ...]:
    """Give the notes held over, counted from the bass along the mode."""
    if not numeral.suspensions:
        return ()
    scale = numeral.key_in(key).names
    bass = chord_in(numeral, key).bass
    first = next(at for at, name in enumerate(scale) if name.letter is bass.letter)
    return tuple(scale[(first + above - 1) % 7] for above, _ in numeral.suspensions)


def advice_in(numeral: Numeral, key: Key) -> tuple[NumeralAdvice, ...]:
    """Say where an accidental repeats what the mode does already."""
    found = advice_in(numeral.applied_to, key) if numeral.applied_to else ()
    if numeral.special is not Special.NONE or not numeral.alteration:
        return found
    local = numeral.key_in(key)
    if _is_moved(numeral, local) or not _means_the_same_bare(numeral, key):
        return found
    own = str(numeral)
    plain = own.lstrip("#b")
    accidental = "flat" if numeral.alteration < 0 else "sharp"
    message = f"In {local.mode.value} that degree needs no {accidental}: {own} is {plain}"
    return (*found, NumeralAdvice(message, plain))


def _means_the_same_bare(numeral: Numeral, key: Key) -> bool:
    """Whether the numeral means the same without its accidental: vi in minor is not bvi."""
    try:
        return chord_in(replace(numeral, alteration=0), key) == chord_in(numeral, key)
    except TheoryError:
        return False


def key_of_target(target: Numeral, key: Key) -> Key:
    """Give the key that an applied chord is read in, its mode from the target's case."""
    root = _root(target, target.key_in(key))
    return Key(root, Mode.MAJOR if target.case is Case.UPPER else Mode.MINOR)


def _root(numeral: Numeral, key: Key) -> PitchName:
    if numeral.special is Special.CADENTIAL:
        return key.tonic
    if numeral.special is Special.NEAPOLITAN:
        return key.tonic + _MINOR_SECOND
    if numeral.special is Special.COMMON_TONE:
        return key.tonic + _AUGMENTED_SECOND
    natural = key.names[numeral.degree - 1]
    steps = numeral.alteration
    if _repeats_the_mode(numeral, key):
        steps = 0
    elif not steps and _stands_on_raised(numeral, key):
        steps = 1
    return natural + Interval(0, 100 * steps) if steps else natural


def _stands_on_raised(numeral: Numeral, key: Key) -> bool:
    """Whether minor raises the degree for this chord although no accidental says so."""
    if key.mode is not Mode.MINOR or numeral.case is not Case.LOWER:
        return False
    if numeral.degree == 7 and numeral.sign is Sign.NONE:
        raise TheoryError(
            "In minor a lower-case vii says neither which seventh degree it stands on nor how; "
            "viio stands on the raised one, VII on the natural one",
            numeral.text or str(numeral),
            0,
            len(numeral.roman),
            "viio",
        )
    return numeral.degree in (6, 7)


def _repeats_the_mode(numeral: Numeral, key: Key) -> bool:
    """Whether the accidental only says what the mode does anyway, counted against major."""
    if abs(numeral.alteration) != 1:
        return False
    natural = key.tonic.interval_to(key.names[numeral.degree - 1]).altered
    return natural == 100 * numeral.alteration


def _is_moved(numeral: Numeral, key: Key) -> bool:
    """Whether an accidental really moves the root off the mode's degree."""
    if numeral.special is Special.NEAPOLITAN:
        return True
    if not numeral.alteration or _repeats_the_mode(numeral, key):
        return False
    raised = numeral.alteration == 1 and _raises_anyway(numeral, key)
    return not raised


def _raises_anyway(numeral: Numeral, key: Key) -> bool:
    if key.mode is not Mode.MINOR or numeral.case is not Case.LOWER:
        return False
    return numeral.degree == 6 or (numeral.degree == 7 and numeral.sign is not Sign.NONE)


def _triad(numeral: Numeral, key: Key) -> tuple[str, str]:
    if numeral.special is Special.CADENTIAL:
        return ("3", "5") if key.mode.has_major_third else ("b3", "5")
    return _TRIADS[numeral.case, numeral.sign]


def _seventh(numeral: Numeral, key: Key) -> str:
    """Give the degree of the seventh above the root, whether or not the figures ask for one."""
    if numeral.major_seventh:
        return "7"
    if numeral.sign in _SIGNED_SEVENTHS:
        return _SIGNED_SEVENTHS[numeral.sign]
    if _is_moved(numeral, key):
        return "b7"
    root = _root(numeral, key)
    at_home = all(key.contains(root + degree_interval(d)) for d in _triad(numeral, key))
    if at_home or numeral.sign is Sign.AUGMENTED:
        return _diatonic(numeral, key, 7)
    return "b7"


def _diatonic(numeral: Numeral, key: Key, number: int) -> str:
    """Give the degree above the root, in the mode, of a seventh, ninth, eleventh, thirteenth."""
    root = _root(numeral, key)
    name = key.names[(numeral.degree - 1 + number - 1) % 7]
    altered = name.cents_altered - (root + Interval.of_degree(number)).cents_altered
    return degree_of(Interval.of_degree(number, altered))


def _build(numeral: Numeral, key: Key, seventh: str) -> Chord:
    """Put root, triad, seventh and what lies above it together, over the bass of the figures."""
    degrees = ["1", *_triad(numeral, key)]
    if numeral.figures.highest >= 7:
        degrees.append(seventh)
    for number in range(9, numeral.figures.highest + 1, 2):
        moved = _is_moved(numeral, key)
        degrees.append(str(number) if moved else _diatonic(numeral, key, number))
    root = _root(numeral, key)
    suffix = _suffix(tuple(degrees))
    if numeral.extras:
        bare = not suffix[-1:].isdigit() and not numeral.extras.startswith(("(", "s", "a", "n"))
        suffix += f"({numeral.extras})" if bare else numeral.extras
    try:
        chord = Chord.on(root, suffix)
    except TheoryError as error:
        raise TheoryError(error.message, numeral.text or str(numeral)) from None
    bass = _bass_tone(chord, numeral)
    return chord if bass == root else chord.over(bass)


def _suffix(degrees: tuple[str, ...]) -> str:
    """Write degrees as a chord suffix: its own row, or a seventh chord with what is added to it."""
    if degrees in _SUFFIXES:
        return _SUFFIXES[degrees]
    body = _SUFFIXES[degrees[:4]]
    added = ""
    for degree in degrees[4:]:
        number, altered = read_degree(degree)
        printed = degree in ("b9", "#9", "#11", "b13")
        added += degree if printed else f"add{degree if altered else number}"
    return f"{body}({added})" if not body[-1:].isdigit() else body + added


def _bass_tone(chord: Chord, numeral: Numeral) -> PitchName:
    """Give the tone that the figures put in the bass; a suspended tone counts as the third."""
    number = numeral.figures.bass
    tone = chord.tone_numbered(*((2, 3, 4) if number == 3 else (number,)))
    if tone is None:
        message = f"The figures put a tone in the bass that {chord.symbol} does not have"
        raise TheoryError(message, numeral.text or str(numeral))
    return tone.name


def augmented_sixth(
    special: Special, lowered_sixth: PitchName, figures: Figures | None = None
) -> Chord:
    """Build an augmented sixth chord on the lowered sixth degree, from which its tones are counted.

    That degree is the bass unless the figures say otherwise. Its symbol is its label, `Ger65`: it
    has no root that a chord symbol could name.
    """
    words, degrees, allowed = AUGMENTED_SIXTHS[special]
    shown = figures or FIGURES[allowed[0]]
    tones = tuple(
        ChordTone(
            degree,
            read_degree(degree)[0],
            degree_interval(degree),
            lowered_sixth + degree_interval(degree),
            Role.REQUIRED,
        )
        for degree in degrees
    )
    low = AUGMENTED_SIXTH_BASSES[special][shown.text]
    bass = lowered_sixth + degree_interval(low)
    label = special.value + shown.text
    parts = ChordParts("", "", special.value, shown.stack)
    return Chord(
        root=None, bass=bass, tones=tones, symbol=label, quality=words, parts=parts, text=label
    )
