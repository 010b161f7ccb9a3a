"""What music theory says, on spelled pitch and in exact arithmetic.

This room is pure: it opens no file, reads no clock, depends on no other room and on no third-party
library. All values are frozen and hashable; text that means nothing raises `TheoryError` with its
place and, where something near is known, a suggestion.
"""

from stavewright.theory.beat_name import BeatName, BeatPart
from stavewright.theory.chord import Chord
from stavewright.theory.chord_parts import ChordParts
from stavewright.theory.chord_table import SuffixRow, suffixes
from stavewright.theory.chord_tone import ChordTone, Place, Redundancy, Role, VoicingRule
from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.just_intervals import JustInterval, just_intervals
from stavewright.theory.key import Key, Mode, Relation
from stavewright.theory.key_finding import KeyFit, find_keys
from stavewright.theory.key_relations import EnharmonicKey, closely_related, enharmonic_keys
from stavewright.theory.meter import Meter, MeterKind, MeterSymbol
from stavewright.theory.naming import Candidate, Exactness, name_chord
from stavewright.theory.nashville import nashville_number, read_nashville
from stavewright.theory.note_value import NoteValue
from stavewright.theory.numeral import Numeral, NumeralParts
from stavewright.theory.numeral_chord import NumeralAdvice
from stavewright.theory.numeral_naming import numeral_for
from stavewright.theory.pitch import Letter, Pitch, PitchName
from stavewright.theory.scale import Scale
from stavewright.theory.scale_kinds import SCALE_KINDS, ScaleKind
from stavewright.theory.tuning import EqualDivision, cents_of, hertz_above, ratio_near
from stavewright.theory.tuplet_ratio import TupletRatio

__all__ = [
    "SCALE_KINDS",
    "BeatName",
    "BeatPart",
    "Candidate",
    "Chord",
    "ChordParts",
    "ChordTone",
    "EnharmonicKey",
    "EqualDivision",
    "Exactness",
    "Interval",
    "JustInterval",
    "Key",
    "KeyFit",
    "Letter",
    "Meter",
    "MeterKind",
    "MeterSymbol",
    "Mode",
    "NoteValue",
    "Numeral",
    "NumeralAdvice",
    "NumeralParts",
    "Pitch",
    "PitchName",
    "Place",
    "Redundancy",
    "Relation",
    "Role",
    "Scale",
    "ScaleKind",
    "SuffixRow",
    "TheoryError",
    "TupletRatio",
    "VoicingRule",
    "cents_of",
    "closely_related",
    "enharmonic_keys",
    "find_keys",
    "hertz_above",
    "just_intervals",
    "name_chord",
    "nashville_number",
    "numeral_for",
    "ratio_near",
    "read_nashville",
    "suffixes",
]
