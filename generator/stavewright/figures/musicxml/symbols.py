"""Chord symbols, Roman numerals, labels and dynamics over and under a staff."""

import xml.etree.ElementTree as ET
from typing import Final

from stavewright.figures.mei.tree import add
from stavewright.figures.musicxml.context import Place, text
from stavewright.notation.score import ChordEvent, Event, NumeralEvent
from stavewright.theory import PitchName

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


def write_chord(place: Place, event: ChordEvent) -> None:
    """A chord symbol; a label without a root as words, a rest as N.C."""
    chord = event.chord
    if chord is not None and (chord.root is None or chord.upper is not None):
        write_words(place, chord.symbol)
        return
    element = add(place.measure, "harmony")
    if chord is None or chord.root is None:
        root = add(element, "root")
        text(root, "root-step", "C", text="")
        text(element, "kind", "none", text="N.C.")
        return
    root = add(element, "root")
    text(root, "root-step", chord.root.letter.name)
    _alter(root, "root-alter", chord.root)
    text(element, "kind", _KINDS.get(chord.suffix, "other"), text=chord.suffix)
    if chord.bass != chord.root:
        bass = add(element, "bass")
        text(bass, "bass-step", chord.bass.letter.name)
        _alter(bass, "bass-alter", chord.bass)


def write_numeral(place: Place, event: NumeralEvent) -> None:
    """A Roman numeral as words below the staff."""
    if event.text:
        write_words(place, event.text, placement="below")


def write_marks(place: Place, event: Event) -> None:
    """The dynamic and the label of an event."""
    if event.dynamic is not None:
        direction = add(place.measure, "direction", {"placement": "below"})
        add(add(add(direction, "direction-type"), "dynamics"), event.dynamic)
    if event.label:
        write_words(place, event.label)


def write_words(place: Place, words: str, placement: str = "above") -> None:
    """Words at a moment."""
    direction = add(place.measure, "direction", {"placement": placement})
    text(add(direction, "direction-type"), "words", words)


def _alter(parent: ET.Element, tag: str, name: PitchName) -> None:
    if name.cents_altered:
        text(parent, tag, f"{name.cents_altered / 100:g}")
