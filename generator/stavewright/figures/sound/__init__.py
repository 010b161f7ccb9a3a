"""What a Score sounds like, note by note in exact time, for the player and for MIDI.

`perform` plays a Score out; `perform_claim` does the same for a claim in the prose; `encode` writes
a performance as the compact JSON that the page's player reads.
"""

from stavewright.figures.sound.claims import ClaimSound, perform_claim
from stavewright.figures.sound.encode import encode, encode_claim
from stavewright.figures.sound.perform import perform
from stavewright.figures.sound.performance import Click, Lit, Performance, PlayedNote, TempoMark

__all__ = [
    "ClaimSound",
    "Click",
    "Lit",
    "Performance",
    "PlayedNote",
    "TempoMark",
    "encode",
    "encode_claim",
    "perform",
    "perform_claim",
]
