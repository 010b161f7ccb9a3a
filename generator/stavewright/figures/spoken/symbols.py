"""Chord symbols, numerals and figured bass in words, as musicians say them."""

import re
from typing import Final

from stavewright.figures.spoken.tones import key_words
from stavewright.notation.score import BassFigureEvent, ChordEvent, NumeralEvent
from stavewright.theory.chord_parts import ChordParts
from stavewright.theory.numeral import NumeralParts

_NUMBERS: Final = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven"),
    *("eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen"),
)
_ACCIDENTALS: Final = {
    "#": "sharp",
    "##": "double sharp",
    "###": "triple sharp",
    "b": "flat",
    "bb": "double flat",
    "bbb": "triple flat",
    "n": "natural",
}
_QUALITIES: Final = {"m": "minor", "dim": "diminished", "aug": "augmented"}
_PIECES: Final = {
    "maj": "major",
    "Maj": "major",
    "sus": "sus",
    "add": "add",
    "alt": "altered",
    "no": "no",
    "omit": "omit",
    "ø": "half-diminished",
    "o": "diminished",
    "°": "diminished",
    "+": "augmented",
    "m": "minor",
}
_TOKEN: Final = re.compile(r"maj|Maj|sus|add|alt|omit|no|##|bb|[#b]|\d+|[ø°o+m]")
_ROMANS: Final = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7}
_NAMES: Final = {
    "N": "Neapolitan",
    "It": "Italian",
    "Fr": "French",
    "Ger": "German",
    "Cad": "cadential",
    "CT": "common-tone",
}
_SIGNS: Final = {"o": "diminished", "ø": "half-diminished", "+": "augmented"}


def number_words(text: str) -> str:
    """Figures as words: `7` as seven; large numbers stay figures."""
    return _NUMBERS[int(text)] if int(text) < len(_NUMBERS) else text


def _suffix_words(text: str) -> list[str]:
    """What stands after a root, token by token."""
    words = []
    for token in _TOKEN.findall(text):
        if token.isdigit():
            words.append(number_words(token))
        else:
            words.append(_ACCIDENTALS.get(token) or _PIECES[token])
    return words


def chord_words(parts: ChordParts) -> str:
    """A chord symbol: `B flat major seven over D`."""
    if parts.upper is not None:
        lower = ChordParts(parts.root, parts.accidental, parts.quality, parts.raised)
        return f"{chord_words(parts.upper)} above {chord_words(lower)}"
    words = [parts.root, _ACCIDENTALS.get(parts.accidental, ""), _QUALITIES.get(parts.quality, "")]
    for piece in parts.raised:
        words += _suffix_words(piece)
    if not parts.quality and not parts.raised:
        words.append("major")
    if parts.bass:
        words += ["over", parts.bass, _ACCIDENTALS.get(parts.bass_accidental, "")]
    return " ".join(word for word in words if word)


def chord_event_words(event: ChordEvent) -> str:
    """A chord symbol in the chords line, with its label."""
    words = "no chord" if event.chord is None else f"chord {chord_words(event.chord.parts)}"
    return words + _labelled(event.label)


def numeral_words(parts: NumeralParts) -> str:
    """A numeral: `five seven of five`, `minor two six five`, `flat six`."""
    words = [_ACCIDENTALS.get(parts.accidental, "")]
    number = _ROMANS.get(parts.body.upper())
    if number is None:
        words.append(_NAMES.get(parts.body, parts.body))
    else:
        is_minor = parts.body.islower() and not parts.sign
        words += ["minor" if is_minor else "", _NUMBERS[number]]
    words.append(_SIGNS.get(parts.sign, ""))
    for figure in (*parts.figures, parts.extras):
        words += _suffix_words(figure)
    for above, below in parts.suspensions:
        words += [number_words(above), "to", number_words(below)]
    if parts.applied_to is not None:
        words += ["of", numeral_words(parts.applied_to)]
    return " ".join(word for word in words if word)


def numeral_event_words(event: NumeralEvent) -> str:
    """A numeral in the numerals line, with its second reading and label."""
    if event.numeral is None:
        return ""
    words = f"numeral {numeral_words(event.numeral.parts)}"
    if event.pivot is not None and event.pivot_key is not None:
        words += f", read as {numeral_words(event.pivot.parts)} in {key_words(event.pivot_key)}"
    return words + _labelled(event.label)


def bass_figure_words(event: BassFigureEvent) -> str:
    """Figures over a bass note, from the top: `sharp six four`."""
    words = []
    for figure in event.figures:
        words.append(_ACCIDENTALS.get(figure.accidental, ""))
        if figure.number is not None:
            words.append(number_words(str(figure.number)))
        else:
            words.append("third")
    return " ".join(word for word in ["figured bass", *words] if word) if words else ""


def _labelled(label: str | None) -> str:
    return f", labeled “{label}”" if label else ""
