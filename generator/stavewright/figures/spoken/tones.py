"""Pitches, note values and instruments in words."""

from fractions import Fraction
from functools import lru_cache
from typing import Final

from stavewright.notation.percussion import GENERAL_MIDI_DRUMS, SHORT_DRUM_NAMES
from stavewright.notation.score import Drum
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key
from stavewright.theory.note_value import NoteValue
from stavewright.theory.pitch import Pitch, PitchName

_ALTERATIONS: Final = {
    -300: "triple flat",
    -200: "double flat",
    -150: "flat and a half",
    -100: "flat",
    -50: "half flat",
    0: "",
    50: "half sharp",
    100: "sharp",
    150: "sharp and a half",
    200: "double sharp",
    300: "triple sharp",
}
_GROUPS: Final = {
    (3, 2): "triplet",
    (2, 3): "duplet",
    (4, 3): "quadruplet",
    (5, 4): "quintuplet",
    (6, 4): "sextuplet",
    (7, 4): "septuplet",
}
_EVERYDAY: Final = {full: short for short, full in SHORT_DRUM_NAMES.items()}
"""The General MIDI name of an instrument, and what it is called in the band; the last wins."""
_DRUMS: Final = {
    name: _EVERYDAY.get(name, name).replace("-", " ").replace("hi hat", "hi-hat")
    for name in GENERAL_MIDI_DRUMS
}


def name_words(name: PitchName) -> str:
    """A note's name: `C sharp`, `B half flat`, `A plus 14 cents`."""
    cents = name.cents_altered
    whole = cents if cents in _ALTERATIONS else round(cents / 100) * 100
    words = [name.letter.name, _ALTERATIONS.get(whole) or _many(whole)]
    if cents != whole:
        words.append(f"{'plus' if cents > whole else 'minus'} {abs(cents - whole)} cents")
    return " ".join(word for word in words if word)


def _many(cents: int) -> str:
    """Accidentals beyond three: rare, and still to be told apart."""
    if cents == 0:
        return ""
    return f"{abs(cents) // 100} {'sharps' if cents > 0 else 'flats'}"


@lru_cache(maxsize=512)  # a piece has few pitches and many notes
def pitch_words(pitch: Pitch) -> str:
    """A pitch: `C sharp 5`, `A 3 plus 14 cents`."""
    words = name_words(pitch.name)
    octave = f" {pitch.octave}".replace("-", "minus ")
    for sign in (" plus ", " minus "):
        if sign in words:
            before, after = words.split(sign, 1)
            return f"{before}{octave}{sign}{after}"
    return words + octave


def sound_words(sound: Pitch | Drum) -> str:
    """What a note head sounds: a pitch, or an instrument's name."""
    if isinstance(sound, Pitch):
        return pitch_words(sound)
    return drum_words(sound)


def drum_words(drum: Drum) -> str:
    """An instrument as players call it: `kick`, `snare`, `hi-hat`, `low conga`."""
    return _DRUMS[drum.name]


def value_words(value: Fraction) -> str:
    """A note value: `dotted quarter`; as a fraction where no single note shows it."""
    # By its two numbers: a Fraction takes longer to hash than its words to find.
    return _value_words(value.numerator, value.denominator)


@lru_cache(maxsize=512)
def _value_words(numerator: int, denominator: int) -> str:
    try:
        return NoteValue.from_length(Fraction(numerator, denominator)).name
    except TheoryError:
        return f"{numerator}/{denominator} of a whole note"


def group_words(actual: int, normal: int) -> str:
    """A group in another ratio: `triplet`, `11 in the time of 8`."""
    return _GROUPS.get((actual, normal), f"{actual} in the time of {normal}")


def key_words(key: Key) -> str:
    """A key: `B flat minor`."""
    return f"{name_words(key.tonic)} {key.mode.value}"


def listed(words: list[str]) -> str:
    """Words as a list: `A, B and C`."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
