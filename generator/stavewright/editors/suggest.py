"""One thing that could be written, and lists of them made from the tables of the code."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import Final

from stavewright.editors.words import escaped, of_word
from stavewright.notation.percussion import GENERAL_MIDI_DRUMS, SHORT_DRUM_NAMES
from stavewright.notation.vocabulary import Word
from stavewright.theory.chord import Chord
from stavewright.theory.chord_table import suffixes
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import MOST_IN_PRINT, Key, Mode
from stavewright.theory.key_relations import signature_words
from stavewright.theory.numeral import Numeral
from stavewright.theory.scale_kinds import SCALE_KINDS, degree_text


class Kind(Enum):
    """What sort of thing is offered."""

    FIELD = "field"
    WORD = "word"
    VALUE = "value"
    RULE = "rule"
    PAGE = "page"
    TERM = "term"


@dataclass(frozen=True, slots=True)
class Completion:
    """One thing that could be written."""

    label: str
    """As it is listed."""
    insert: str
    """What takes the place of the text from `start` to the cursor."""
    start: int
    """A column of the cursor's line, from 1."""
    kind: Kind
    detail: str = ""
    """A few words beside the label."""
    documentation: str = ""
    """Markdown."""


MODES: Final = tuple(mode.value for mode in Mode)
_PRINTED: Final = (Mode.MAJOR, Mode.MINOR)


def of_words(words: Iterable[Word], start: int, kind: Kind, after: str = "") -> list[Completion]:
    """Words of the language; `after` follows each, a bracket those that hold something."""
    return [
        Completion(
            word.name,
            word.name + (after or "(" * (f"{word.name}(" in word.example)),
            start,
            kind,
            word.meaning,
            of_word(word),
        )
        for word in words
    ]


def of_names(
    names: Iterable[tuple[str, str]], start: int, kind: Kind = Kind.VALUE
) -> list[Completion]:
    """Names, each with a few words about it."""
    return [Completion(name, name, start, kind, about) for name, about in names]


@cache
def key_names() -> tuple[tuple[str, str], ...]:
    """The keys that are printed, from the fewest accidentals to the most, with their signatures."""
    keys = [
        key
        for mode in _PRINTED
        for sharps in range(-MOST_IN_PRINT, MOST_IN_PRINT + 1)
        if (key := _of_signature(sharps, mode))
    ]
    keys.sort(key=lambda key: (abs(key.signature), key.signature < 0, key.mode is Mode.MINOR))
    return tuple((str(key), signature_words(key)) for key in keys)


def _of_signature(sharps: int, mode: Mode) -> Key | None:
    major = Key.of_signature(sharps)
    return major if mode is Mode.MAJOR else major.related("relative")


def modes_of(tonic: str) -> list[tuple[str, str]]:
    """What may follow a tonic in the name of a key."""
    found = []
    for mode in MODES:
        try:
            found.append((mode, signature_words(Key.parse(f"{tonic} {mode}"))))
        except TheoryError:
            continue
    return found


@cache
def scale_names() -> tuple[tuple[str, str], ...]:
    """What may follow a tonic in the name of a scale, with its degrees."""
    found = []
    for kind in SCALE_KINDS:
        degrees = " ".join(degree_text(interval) for interval in kind.rising)
        found += [(name, degrees) for name in (kind.name, *kind.aliases)]
    return tuple(found)


@cache
def drum_names() -> tuple[tuple[str, str], ...]:
    """The instruments of a kit, short names first."""
    return (
        *SHORT_DRUM_NAMES.items(),
        *((name, f"General MIDI {key}") for name, key in GENERAL_MIDI_DRUMS.items()),
    )


def chord_symbols(root: str, start: int) -> list[Completion]:
    """Every suffix on a root, as the handbook lists them."""
    found: dict[str, Completion] = {}
    for row in suffixes():
        symbol = f"{root}{row.canonical}"
        if symbol in found:
            continue
        try:
            chord = Chord.parse(symbol)
        except TheoryError:
            # What only changes another chord is no chord on a bare root.
            continue
        if str(chord.root) != root:
            # A sign at the head of the suffix would belong to the root: C#9 is no C with #9.
            continue
        notes = " ".join(map(str, chord.names))
        also = f"\n- also written: {escaped(', '.join(row.synonyms[:_SYNONYMS]))}"
        words = f"**{escaped(symbol)}**: {escaped(row.words)}\n\n- notes: {escaped(notes)}"
        words += also if row.synonyms else ""
        found[symbol] = Completion(symbol, symbol, start, Kind.VALUE, row.words, words)
    return list(found.values())


_SYNONYMS: Final = 6
"""Other spellings that are listed; the handbook has all."""

_TRIADS: Final = "I ii iii IV V vi viio"
_NUMERALS: Final = {
    True: f"{_TRIADS} Imaj7 ii7 iii7 IVmaj7 V7 vi7 viiø7 I6 ii6 V6 V65 V43 V42 Cad64 V7/V V7/ii "
    "V7/vi N6 It6 Fr43 Ger65 iv bVI bVII",
    False: "i iio III iv V v VI VII viio V7 iiø7 viio7 i6 iio6 iiø65 V6 V65 V43 V42 Cad64 iv6 V7/V "
    "V7/iv V7/III N6 It6 Fr43 Ger65 IV",
}
"""The numerals that harmony courses use most, for keys with a major third and with a minor one."""


def numerals_in(key: Key, start: int) -> list[Completion]:
    """The common numerals of a key, each with the chord it means there."""
    found = []
    for text in _NUMERALS[key.mode.has_major_third].split():
        try:
            chord = Numeral.parse(text).chord(key)
        except TheoryError:
            continue
        notes = " ".join(map(str, chord.names_from_bass))
        detail = f"{chord.symbol}: {notes}"
        found.append(Completion(text, text, start, Kind.VALUE, detail, f"in {escaped(str(key))}"))
    return found
