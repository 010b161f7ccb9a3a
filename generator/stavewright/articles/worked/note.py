"""A note: its frequency, its number, its other names."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from stavewright.articles.worked.answer import Answer, rows
from stavewright.articles.worked.interval import read_note
from stavewright.articles.worked.pasting import block, claim, clef_for, clef_line
from stavewright.theory.other_names import other_names, respelled
from stavewright.theory.pitch import Pitch, PitchName

if TYPE_CHECKING:
    from collections.abc import Iterator

_A4_KEY: Final = 69
"""MIDI's number of A4."""
_USUAL: Final = 440.0
"""Hz of A4, by ISO 16; what claims are checked at."""


def note_answer(text: str, a4: float = _USUAL) -> Answer:
    """Work out a pitch such as `A4` at a frequency of A4 in Hz, or a name; raises TheoryError."""
    note = read_note(text.strip())
    if isinstance(note, PitchName):
        return _name_answer(note)
    others = ", ".join(str(other) for other in _other_pitches(note))
    facts = (
        ("frequency", f"{note.hertz(a4):.2f} Hz"),
        ("reference", f"A4 = {a4:g} Hz"),
        ("MIDI key", f"{note.key_number:g}"),
        ("half steps from A4", f"{note.key_number - _A4_KEY:+g}"),
        ("sounds like", others),
    )
    reasons = ["In equal temperament each half step multiplies by the twelfth root of two."]
    if a4 != _USUAL:
        reasons.append("Claims are checked at A4 = 440 Hz (ISO 16).")
    said = claim("note", str(note), f"{note.hertz():.2f} Hz")
    return Answer(str(note), rows(*facts), tuple(reasons), said, _block(note))


def _block(note: Pitch) -> str | None:
    clef = clef_for([note])
    if clef is None:
        return None
    return block(clef_line(clef), ("notes", str(note)), ("show", "staff keyboard"))


def _name_answer(name: PitchName) -> Answer:
    others = list(other_names(name))
    facts = (("sounds like", ", ".join(map(str, others))),)
    said = claim("note", str(name), str(others[0]), "≈") if others else None
    reason = f"Without an octave it has no frequency; say {name}4 or another."
    return Answer(str(name), rows(*facts), (reason,), said)


def _other_pitches(pitch: Pitch) -> Iterator[Pitch]:
    for name in other_names(pitch.name):
        other = respelled(pitch, name)
        if other is not None:
            yield other
