"""Reads `tuning:` and `strings:`."""

import re
from fractions import Fraction
from typing import Final

from stavewright.notation.limits import HIGHEST_OCTAVE, LOWEST_OCTAVE
from stavewright.notation.passage import Passage
from stavewright.notation.report import Report
from stavewright.notation.score import Tuning
from stavewright.notation.values import UnreadError
from stavewright.theory.errors import TheoryError
from stavewright.theory.pitch import Pitch

_EQUAL: Final = re.compile(r"(?P<steps>\d{1,3})(?:\s+|-)(?:equal|edo|tet)", re.IGNORECASE)
_REFERENCE: Final = re.compile(
    r"(?P<pitch>\S{1,20}?)\s*[=\s]\s*(?P<hertz>\d{1,5}(?:\.\d{1,3})?)(?:\s*Hz)?"
)
_MOST_STEPS: Final = 311
_MOST_STRINGS: Final = 12


def read_tuning(text: str) -> Tuning:
    """Read `A4 442`, `24 equal` or `A4 442, 24 equal`; raises UnreadError."""
    reference, hertz, steps = Pitch.parse("A4"), Fraction(440), 12
    for part in (piece.strip() for piece in text.split(",")):
        if equal := _EQUAL.fullmatch(part):
            steps = int(equal["steps"])
            if not 1 <= steps <= _MOST_STEPS:
                raise UnreadError(f"An octave is divided into 1 to {_MOST_STEPS} equal steps")
        elif match := _REFERENCE.fullmatch(part):
            reference, hertz = _reference(match)
        else:
            bare = re.fullmatch(r"(?P<hertz>4\d\d(?:\.\d{1,3})?)(?:\s*Hz)?", text)
            message = "Tuning is a reference and a temperament, such as A4 442, 24 equal"
            raise UnreadError(message, f"A4 {bare['hertz']}" if bare else None)
    return Tuning(reference, hertz, steps)


def _reference(match: re.Match[str]) -> tuple[Pitch, Fraction]:
    try:
        pitch = Pitch.parse(match["pitch"])
    except TheoryError as error:
        named = re.fullmatch(r"[A-G][#b]?", match["pitch"])
        wanted = f"{named[0]}4 {match['hertz']}" if named else None
        raise UnreadError(error.message, wanted) from None
    hertz = Fraction(match["hertz"])
    if not 1 <= hertz <= 20_000:
        raise UnreadError("A reference pitch sounds between 1 and 20000 Hz")
    return pitch, hertz


def read_strings(passage: Passage, report: Report) -> tuple[Pitch, ...]:
    """Read `E2 A2 D3 G3 B3 E4`: the open strings, as written."""
    strings: list[Pitch] = []
    for found in re.finditer(r"[^\s,]+", passage.text):
        try:
            pitch = Pitch.parse(found[0])
        except TheoryError as error:
            if re.fullmatch(r"[A-G][#b]?", found[0]):
                message = "The octave is missing; a guitar is tuned E2 A2 D3 G3 B3 E4"
                report.add(passage.span(*found.span()), message)
            else:
                report.theory(error, passage, *found.span())
            continue
        span = passage.span(*found.span())
        if not LOWEST_OCTAVE <= pitch.octave <= HIGHEST_OCTAVE:
            message = f"A string sounds in the octaves {LOWEST_OCTAVE} to {HIGHEST_OCTAVE}"
            report.add(span, message)
        elif len(strings) == _MOST_STRINGS:
            report.add(span, f"A fretboard has at most {_MOST_STRINGS} strings", "")
        else:
            strings.append(pitch)
    return tuple(strings)
