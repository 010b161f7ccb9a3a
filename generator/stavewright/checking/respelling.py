"""Other names of the same sound."""

from stavewright.checking.sounding import Note
from stavewright.theory.other_names import other_names, respelled
from stavewright.theory.pitch import Pitch, PitchName

__all__ = ["note_respelled", "other_names", "respelled"]


def note_respelled(note: Note, name: PitchName) -> Pitch | None:
    """A note under another name, in the shade of tuning in which it is written."""
    plain = respelled(note.pitch, name)
    if plain is None or not note.shade:
        return plain
    return Pitch(plain.letter, plain.cents_altered + note.shade, plain.octave)
