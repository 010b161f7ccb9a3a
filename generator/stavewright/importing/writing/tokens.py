"""Single sounds as text."""

from collections.abc import Sequence
from fractions import Fraction

from stavewright.importing.model import GraceTones, Sound, Tone
from stavewright.notation.score import Drum, EventMark, HeadMark
from stavewright.notation.values import show_value


def sound_text(sound: Sound) -> str:
    """Notes or a silence with their marks, without a value."""
    if not sound.tones:
        silence = sound.silence.value if sound.silence else "space"
        return silence + (_marks(sound.marks & {EventMark.FERMATA}) if silence == "rest" else "")
    return _tones(sound.tones, sound.marks)


def _tones(tones: Sequence[Tone], marks: frozenset[EventMark]) -> str:
    text = "&".join(map(_tone, tones))
    if not marks:
        return text
    return f"({text}){_marks(marks)}" if len(tones) > 1 else text + _marks(marks)


def _marks(marks: frozenset[EventMark]) -> str:
    return "".join(f".{mark.value}" for mark in EventMark if mark in marks)


def _tone(tone: Tone) -> str:
    name = tone.sound.name if isinstance(tone.sound, Drum) else str(tone.sound)
    marks = "".join(f".{mark.value}" for mark in HeadMark if mark in tone.marks)
    return f"{name}{'_' if tone.tied else ''}{marks}"


def grace_text(graces: Sequence[GraceTones]) -> str:
    """Grace notes in their bracket, a space after it; nothing for none."""
    if not graces:
        return ""
    words = [f"{show_value(_grace_value(g.value))} {_tones(g.tones, g.marks)}" for g in graces]
    return f"grace({' '.join(words)}) "


def _grace_value(value: Fraction) -> Fraction:
    return value if 0 < value <= 1 else Fraction(1, 8)
