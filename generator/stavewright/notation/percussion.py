"""The percussion instruments of `drums:`.

Names and key numbers are those of the General MIDI 1 Sound Set, percussion key map (MMA, 1991),
written in kebab case.
"""

from typing import Final

GENERAL_MIDI_DRUMS: Final[dict[str, int]] = {
    "acoustic-bass-drum": 35,
    "bass-drum-1": 36,
    "side-stick": 37,
    "acoustic-snare": 38,
    "hand-clap": 39,
    "electric-snare": 40,
    "low-floor-tom": 41,
    "closed-hi-hat": 42,
    "high-floor-tom": 43,
    "pedal-hi-hat": 44,
    "low-tom": 45,
    "open-hi-hat": 46,
    "low-mid-tom": 47,
    "hi-mid-tom": 48,
    "crash-cymbal-1": 49,
    "high-tom": 50,
    "ride-cymbal-1": 51,
    "chinese-cymbal": 52,
    "ride-bell": 53,
    "tambourine": 54,
    "splash-cymbal": 55,
    "cowbell": 56,
    "crash-cymbal-2": 57,
    "vibraslap": 58,
    "ride-cymbal-2": 59,
    "hi-bongo": 60,
    "low-bongo": 61,
    "mute-hi-conga": 62,
    "open-hi-conga": 63,
    "low-conga": 64,
    "high-timbale": 65,
    "low-timbale": 66,
    "high-agogo": 67,
    "low-agogo": 68,
    "cabasa": 69,
    "maracas": 70,
    "short-whistle": 71,
    "long-whistle": 72,
    "short-guiro": 73,
    "long-guiro": 74,
    "claves": 75,
    "hi-wood-block": 76,
    "low-wood-block": 77,
    "mute-cuica": 78,
    "open-cuica": 79,
    "mute-triangle": 80,
    "open-triangle": 81,
}
"""Name to key number, 35 to 81."""

SHORT_DRUM_NAMES: Final[dict[str, str]] = {
    "kick": "bass-drum-1",
    "bass-drum": "acoustic-bass-drum",
    "snare": "acoustic-snare",
    "rim": "side-stick",
    "clap": "hand-clap",
    "hat": "closed-hi-hat",
    "hi-hat": "closed-hi-hat",
    "open-hat": "open-hi-hat",
    "pedal-hat": "pedal-hi-hat",
    "ride": "ride-cymbal-1",
    "crash": "crash-cymbal-1",
    "splash": "splash-cymbal",
    "china": "chinese-cymbal",
    "bell": "ride-bell",
    "floor-tom": "low-floor-tom",
    "mid-tom": "low-mid-tom",
    "tom": "high-tom",
    "triangle": "open-triangle",
    "wood-block": "hi-wood-block",
}
"""The everyday names that may be written instead."""

OTHER_DRUM_NAMES: Final[dict[str, str]] = {
    "bd": "kick",
    "bass": "kick",
    "sd": "snare",
    "sn": "snare",
    "hh": "hat",
    "ch": "hat",
    "oh": "open-hat",
    "rd": "ride",
    "cc": "crash",
    "ft": "floor-tom",
    "cross-stick": "rim",
    "rimshot": "rim",
    "handclap": "clap",
}
"""Names that drum charts and machines use, and the one that is written here."""


def drum_key(name: str) -> tuple[str, int] | None:
    """Give the full name and key number of an instrument, or None."""
    full = SHORT_DRUM_NAMES.get(name, name)
    key = GENERAL_MIDI_DRUMS.get(full)
    return None if key is None else (full, key)
