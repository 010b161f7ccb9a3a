"""Chord symbols, Roman numerals, labels and dynamics over and under a staff."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.markup import attributes
from stavewright.figures.musicxml.context import Place
from stavewright.figures.musicxml.markup import element, leaf
from stavewright.notation.score import BassFigure, ChordEvent, Event, NumeralEvent
from stavewright.theory import Interval, Key, PitchName

_KINDS: Final = {
    "": "major",
    "m": "minor",
    "dim": "diminished",
    "aug": "augmented",
    "7": "dominant",
    "maj7": "major-seventh",
    "m7": "minor-seventh",
    "mMaj7": "major-minor",
    "dim7": "diminished-seventh",
    "m7b5": "half-diminished",
    "aug7": "augmented-seventh",
    "6": "major-sixth",
    "m6": "minor-sixth",
    "9": "dominant-ninth",
    "maj9": "major-ninth",
    "m9": "minor-ninth",
    "11": "dominant-11th",
    "m11": "minor-11th",
    "13": "dominant-13th",
    "maj13": "major-13th",
    "m13": "minor-13th",
    "sus2": "suspended-second",
    "sus4": "suspended-fourth",
    "5": "power",
}
"""Our suffixes to the format's kinds; any other is `other`, with its text and its degrees."""
_PREFIXES: Final = {
    "#": "sharp",
    "##": "double-sharp",
    "b": "flat",
    "bb": "flat-flat",
    "n": "natural",
}
"""The accidentals of figures."""


def write_chord(place: Place, event: ChordEvent, transposition: Interval | None) -> None:
    """A chord symbol as the part reads it; a label without a root as words, a rest as N.C.

    `transposition` is by how much the part is written above what sounds: a reader takes it back.
    """
    chord = event.chord
    if chord is not None and transposition is not None:
        chord = chord.transposed(transposition)
    if chord is not None and (chord.root is None or chord.upper is not None):
        write_words(place, chord.symbol)
        return
    if chord is None or chord.root is None:
        root = element("root", inside=leaf("root-step", "C", ' text=""'))
        place.add(element("harmony", inside=root + leaf("kind", "none", ' text="N.C."')))
        return
    kind = _KINDS.get(chord.suffix, "other")
    inside = _tone("root", chord.root) + leaf("kind", kind, attributes({"text": chord.suffix}))
    if chord.bass != chord.root:
        inside += _tone("bass", chord.bass)
    place.add(element("harmony", inside=inside))


def write_numeral(place: Place, event: NumeralEvent, before: Key | None) -> None:
    """A Roman numeral as words below the staff, after the local key where that is a new one."""
    if event.numeral is None:
        return
    name = f"{event.key.display}: " if event.key is not None and event.key != before else ""
    write_words(place, f"{name}{event.numeral.text}", placement="below")
    if event.pivot is not None and event.pivot_key is not None:
        words = f"{event.pivot_key.display}: {event.pivot.text}"
        write_words(place, words, placement="below")


def write_figures(place: Place, figures: Sequence[BassFigure], length: Fraction) -> None:
    """Figures over the note that follows, from the top down, and how long they hold there.

    No figures at all keep the place for later ones.
    """
    inside = "".join(map(_figure, figures or (BassFigure(),)))
    duration = leaf("duration", place.context.count(length))
    place.add(element("figured-bass", inside=inside + duration))


def _figure(each: BassFigure) -> str:
    inside = ""
    if each.accidental:
        inside += leaf("prefix", _PREFIXES[each.accidental])
    if each.number is not None:
        inside += leaf("figure-number", str(each.number))
    return element("figure", inside=inside)


def write_marks(place: Place, event: Event, voice: int) -> None:
    """The dynamic of an event, for its voice, and its label."""
    if event.dynamic is not None:
        sign = element("dynamics", inside=element(event.dynamic))
        kind = element("direction-type", inside=sign)
        inside = kind + leaf("voice", str(voice))
        place.add(element("direction", ' placement="below"', inside))
    if event.label:
        write_words(place, event.label)


def write_words(place: Place, words: str, placement: str = "above") -> None:
    """Words at a moment."""
    kind = element("direction-type", inside=leaf("words", words))
    place.add(element("direction", f' placement="{placement}"', kind))


def _tone(tag: str, name: PitchName) -> str:
    """The `root` or `bass` of a chord."""
    inside = leaf(f"{tag}-step", name.letter)
    if name.cents_altered:
        inside += leaf(f"{tag}-alter", f"{name.cents_altered / 100:g}")
    return element(tag, inside=inside)
