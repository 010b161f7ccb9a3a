"""Writes one event as the language has it: `(C4&E4)_"held".fermata`."""

from collections.abc import Iterable
from fractions import Fraction

from stavewright.notation.labels import quoted
from stavewright.notation.percussion import SHORT_DRUM_NAMES
from stavewright.notation.score import Drum, EventMark, Head, HeadMark, Shift, Silence
from stavewright.notation.values import show_decimal, show_value
from stavewright.theory.pitch import Pitch

_SHORTEST: dict[str, str] = {}
for _short, _full in SHORT_DRUM_NAMES.items():
    _SHORTEST.setdefault(_full, _short)


def sound_text(sound: Pitch | Drum, own: Drum | None = None) -> str:
    """Write a pitch or a drum; the drum that the voice is named after is an `x`."""
    if isinstance(sound, Drum):
        return "x" if sound == own else _SHORTEST.get(sound.name, sound.name)
    return str(sound)


def event_text(
    heads: tuple[Head, ...],
    silence: Silence | None,
    marks: Iterable[EventMark] = (),
    label: str | None = None,
    own: Drum | None = None,
) -> str:
    """Write an event with its suffixes."""
    outer = "".join(sorted(f".{mark.value}" for mark in marks)) + _label(label)
    if silence is not None:
        return silence.value + outer
    if len(heads) == 1:
        return sound_text(heads[0].sound, own) + _suffix(heads[0]) + outer
    shared = _suffix(heads[0])
    if all(_suffix(head) == shared and head.label is None for head in heads):
        joined = "&".join(sound_text(head.sound, own) for head in heads)
        return f"({joined}){shared}{outer}" if shared or outer else joined
    joined = "&".join(
        sound_text(head.sound, own) + _suffix(head) + _label(head.label) for head in heads
    )
    return f"({joined}){outer}" if outer else joined


def _suffix(head: Head) -> str:
    parts = ["_"] if head.tied else []
    if head.emphasised:
        parts.append("*")
    if head.shift is not None:
        parts.append(shift_text(head.shift))
    parts += sorted(f".{mark.value}" for mark in head.marks if isinstance(mark, HeadMark))
    return "".join(parts)


def shift_text(shift: Shift) -> str:
    """Write a shift: `@-1/32`, `@+12ms`."""
    if shift.note_value is not None:
        sign = "-" if shift.note_value < 0 else "+"
        return f"@{sign}{show_value(abs(shift.note_value))}"
    milliseconds = shift.milliseconds or Fraction(0)
    sign = "-" if milliseconds < 0 else "+"
    return f"@{sign}{show_decimal(abs(milliseconds))}ms" if milliseconds else "@+0ms"


def _label(label: str | None) -> str:
    return "" if label is None else quoted(label)
