"""Music in words: what a blind musician hears in place of the staff."""

from stavewright.figures.spoken.notes import speak_notes
from stavewright.figures.spoken.reading import Reading
from stavewright.figures.spoken.symbols import chord_words, numeral_words
from stavewright.figures.spoken.tones import key_words, name_words, pitch_words, value_words
from stavewright.figures.spoken.whole import speak_staff

__all__ = [
    "Reading",
    "chord_words",
    "key_words",
    "name_words",
    "numeral_words",
    "pitch_words",
    "speak_notes",
    "speak_staff",
    "value_words",
]
