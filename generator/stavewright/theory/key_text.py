"""How a key is written and read: a tonic in capitals, a space, the mode's name."""

from __future__ import annotations

import difflib
import re
from typing import Final

from stavewright.theory.errors import TheoryError
from stavewright.theory.pitch import PitchName

_KEY: Final = re.compile(
    r"\s*(?P<tonic>(?:[^\s(-]|\([^)]*\))+(?:[\s-]+(?:sharp|flat)\b)?)(?:[\s-]+(?P<mode>\S.*?))?\s*"
)
_RUN_ON: Final = re.compile(
    r"(?P<tonic>[A-Ha-h][#b♯♭x𝄪𝄫]*)(?P<mode>m|M|maj|min|major|minor|dur|moll)"
)
_OTHER_WORDS: Final = {
    "m": "minor",
    "min": "minor",
    "moll": "minor",
    "natural minor": "minor",
    "harmonic minor": "minor",
    "melodic minor": "minor",
    "maj": "major",
    "dur": "major",
    "eolian": "aeolian",
    "jonian": "ionian",
    "mixolidian": "mixolydian",
}
"""Words that are not the mode's name here, and the name that is meant."""
_GERMAN: Final = ("dur", "moll")


def read_key(text: str, modes: tuple[str, ...]) -> tuple[PitchName, str]:
    """Read a key: (tonic, mode's name). `modes` are the names allowed, the likeliest first."""
    match = _KEY.fullmatch(text)
    if match is None:
        raise TheoryError("Here stands a key such as D minor", text)
    words = match["tonic"], match["mode"] or ""
    start = match.start("tonic")
    if not words[1] and (run_on := _RUN_ON.fullmatch(words[0])):
        wanted = _wanted(run_on["tonic"], run_on["mode"], modes)
        # Upper and lower case differ here only: DM is major, Dm minor.
        if run_on["mode"] == "M":
            wanted = _wanted(run_on["tonic"], "major", modes)
        message = "A key names its mode in a word of its own, as in D minor"
        raise TheoryError(message, text, start, match.end("tonic"), wanted)
    mode = " ".join(words[1].lower().split())
    try:
        tonic = PitchName.parse(words[0])
    except TheoryError as fault:
        if mode in modes:
            raise fault.within(text, start) from None
        end = match.end("mode") if mode else match.end("tonic")
        wanted = _wanted(words[0], mode, modes)
        raise TheoryError(fault.message, text, start, end, wanted) from None
    if tonic.is_microtonal:
        message = "A key signature has no sign for a tonic in quarter tones; write a scale instead"
        raise TheoryError(message, text, start, match.end("tonic"))
    if mode not in modes:
        _refuse_mode(text, match, mode, modes)
    return tonic, mode


def _refuse_mode(text: str, match: re.Match[str], mode: str, modes: tuple[str, ...]) -> None:
    start = match.start("tonic")
    if not mode:
        message = f"{match['tonic']} of which mode? Say major, minor or a mode's name"
        raise TheoryError(message, text, start, match.end("tonic"), f"{match['tonic']} {modes[0]}")
    message = f"{match['mode']!r} is no mode of a key: " + ", ".join(modes)
    if mode in ("harmonic minor", "melodic minor"):
        message = f"The {mode} is a scale; the key that uses it is called minor"
    if mode in _GERMAN:
        raise TheoryError(message, text, start, suggestion=_wanted(match["tonic"], mode, modes))
    raise TheoryError(
        message, text, match.start("mode"), match.end("mode"), _near_mode(mode, modes)
    )


def _near_mode(mode: str, modes: tuple[str, ...]) -> str | None:
    if mode in modes:
        return mode
    if mode in _OTHER_WORDS:
        return _OTHER_WORDS[mode]
    return next(iter(difflib.get_close_matches(mode, modes, 1)), None)


def _wanted(tonic: str, mode: str, modes: tuple[str, ...]) -> str | None:
    """Mend both halves; None unless each has a likely reading."""
    if mode in _GERMAN and tonic in ("B", "b"):
        tonic = "Bb"  # beside dur and moll the letter has its German meaning
    try:
        name: str | None = PitchName.parse(tonic).spelled
    except TheoryError as fault:
        name = fault.repaired
    near = _near_mode(mode, modes) if mode else modes[0]
    return f"{name} {near}" if name and near else None
