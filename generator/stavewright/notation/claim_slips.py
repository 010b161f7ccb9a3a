"""Slips in the statement of a claim, or in its subject, and what was probably meant."""

import re
from typing import Final

from stavewright.notation.claim import Noun
from stavewright.theory.errors import TheoryError

_NAME: Final = r"[A-G](?:#{1,3}|b{1,3}|x|[♯♭𝄪𝄫])?"
_FREQUENCY: Final = re.compile(r"(?P<number>\d{1,6}(?:\.\d{1,6})?)\s*(?P<unit>hz|hertz|cps)?", re.I)
_MIDI: Final = re.compile(r"midi\s+(?P<number>\d{1,3})", re.IGNORECASE)
_PAIR: Final = re.compile(rf"(?P<low>{_NAME}\d?)\s*[-–—]\s*(?P<high>{_NAME}\d?)")
_HYPHENED: Final = re.compile(rf"{_NAME}(?:\s*[-–—]\s*{_NAME})+")
_HIGHEST_KEY: Final = 127


def refuse_slip(noun: Noun, text: str) -> None:
    """Raise TheoryError where one side of a claim is a known slip; it says what would be right."""
    _refuse_sign(text)
    match noun:
        case Noun.NOTE:
            _refuse_number(text)
        case Noun.INTERVAL:
            if pair := _PAIR.fullmatch(text):
                meant = f"{pair['low']} to {pair['high']}"
                message = "Between the two notes of an interval stands to"
                raise TheoryError(message, text, 0, len(text), meant)
        case Noun.CHORD | Noun.SCALE | Noun.KEY | Noun.NUMERAL:
            if _HYPHENED.fullmatch(text):
                meant = " ".join(re.findall(_NAME, text))
                raise TheoryError("Notes are parted by spaces", text, 0, len(text), meant)
        case Noun.RHYTHM:
            return


def _refuse_sign(text: str) -> None:
    """One sign stands in a claim."""
    if doubled := re.match(r"(?:=?>|=)\s*(?=\S)", text):
        raise TheoryError("The sign of a claim is a single =", text, 0, doubled.end(), "")
    if again := re.search(r"!=|~=|[=≠≈]", text):
        raise TheoryError("A claim has one sign; make two claims of it", text, *again.span())


def _refuse_number(text: str) -> None:
    """A number needs its unit: hertz, or a key number's word."""
    if midi := _MIDI.fullmatch(text):
        meant = f"key {midi['number']}"
        raise TheoryError("The number of a key is written as key 60", text, 0, len(text), meant)
    frequency = _FREQUENCY.fullmatch(text)
    if frequency and frequency["unit"] != "Hz" and frequency["unit"] != "hertz":
        number = frequency["number"]
        is_key = not frequency["unit"] and number.isdecimal() and int(number) <= _HIGHEST_KEY
        message = "A number is a frequency, such as 440 Hz, or a key, such as key 60"
        raise TheoryError(message, text, 0, len(text), None if is_key else f"{number} Hz")
