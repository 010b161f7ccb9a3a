"""The tones a view shows: each sounding pitch of a score once, with who plays it."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from stavewright.figures.views.canvas import SOLID, Canvas
from stavewright.notation.score import Score
from stavewright.theory import Pitch


@dataclass(frozen=True, slots=True)
class Tone:
    """One pitch and the voices that sound it."""

    pitch: Pitch
    voices: tuple[str, ...]
    emphasised: bool


def tones(score: Score) -> tuple[Tone, ...]:
    """Every pitch of the score, from low to high."""
    voices: dict[Pitch, dict[str, None]] = {}
    emphasised: set[Pitch] = set()
    for voice in score.voices:
        for event in voice.events:
            for head in event.heads:
                if isinstance(head.sound, Pitch):
                    voices.setdefault(head.sound, {})[voice.name] = None
                    if head.emphasised:
                        emphasised.add(head.sound)
    return tuple(Tone(p, tuple(voices[p]), p in emphasised) for p in sorted(voices))


def pitched_voices(score: Score) -> tuple[str, ...]:
    """Names of the voices that sound any pitch, in score order."""
    return tuple(
        voice.name
        for voice in score.voices
        if any(isinstance(head.sound, Pitch) for event in voice.events for head in event.heads)
    )


def mark(canvas: Canvas, place: int, x: float, y: float, size: float) -> None:
    """A mark for the voice at `place`: its shape tells who plays, never its colour."""
    outline = {"stroke_width": "1.6"}
    if place == 0:
        canvas.circle(x, y, size, **SOLID)
    elif place == 1:
        canvas.circle(x, y, size - 0.8, **outline)
    elif place == 2:
        canvas.rect(x - size, y - size, 2 * size, 2 * size, **SOLID)
    elif place == 3:
        canvas.rect(x - size + 0.8, y - size + 0.8, 2 * size - 1.6, 2 * size - 1.6, **outline)
    else:
        corners = [(x, y - size - 1), (x + size + 1, y), (x, y + size + 1), (x - size - 1, y)]
        canvas.polygon(corners, **(SOLID if place == 4 else outline))


def legend(canvas: Canvas, names: tuple[str, ...], x: float, y: float) -> None:
    """Which mark is which voice, in a row that begins at `x`; nothing for a single voice."""
    if len(names) < 2:
        return
    for place, name in enumerate(names):
        mark(canvas, place, x + 5, y - 4, 4)
        canvas.text(x + 14, y, name, 12, text_anchor="start")
        x += 28 + 7 * len(name)


def spoken_list(words: Iterable[str]) -> str:
    """Words as a list in a sentence: "C, E and G"."""
    items = list(words)
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"


def gaps(pitches: Iterable[Pitch]) -> tuple[str, ...]:
    """Names of the intervals between neighbours."""
    return tuple(low.interval_to(high).name for low, high in pairwise(pitches))
