"""What the views write beside their marks, and how they say that there is nothing to show."""

from collections.abc import Sequence
from dataclasses import dataclass

from stavewright.figures.mei.symbols import chord_runs
from stavewright.figures.views.canvas import text_width
from stavewright.notation.score import Drum, Score
from stavewright.theory import Chord, Key, Pitch, PitchName

_HALF_FLAT, _HALF_SHARP = "\U0001d133", "\U0001d132"
_THIN = "\u202f"
"""A narrow space that breaks no line."""


def name_text(name: PitchName) -> str:
    """A note's name in a drawing: quarter tones with their own signs, other cents as a number."""
    half = {50: _HALF_SHARP, -50: _HALF_FLAT}.get(name.cents_altered)
    return name.letter.name + half if half else name.display


def pitch_text(pitch: Pitch) -> str:
    """A note's name with its octave, likewise: `F♯4`."""
    name = name_text(pitch.name)
    # The signs of quarter tones would touch the figure.
    gap = _THIN if name[-1] in _HALF_FLAT + _HALF_SHARP else ""
    return f"{name}{gap}{pitch.octave}".replace("-", "−")


def chord_text(chord: Chord) -> str:
    """A chord symbol on one line, with real accidentals."""
    return "".join(run.text for run in chord_runs(chord.written_parts))


def key_text(key: Key) -> str:
    """A key in a drawing: `B♭ minor`."""
    return f"{name_text(key.tonic)} {key.mode.value}"


def no_pitch_words(score: Score) -> str:
    """Why there is no pitch to show, as a sentence."""
    heads = [head for voice in score.voices for event in voice.events for head in event.heads]
    if any(isinstance(head.sound, Drum) for head in heads):
        return "Only percussion sounds here, without pitch."
    if score.chords or score.numerals:
        return "Chords are named; no notes are written."
    return "No note sounds here."


@dataclass(frozen=True, slots=True)
class Label:
    """Words that want to stand at a place, `x` their middle."""

    x: float
    words: str
    size: float
    weight: str = "400"

    @property
    def width(self) -> float:
        """How broad they are at most."""
        return text_width(self.words, self.size)

    def within(self, width: float) -> "Label":
        """The same words moved as little as keeps them inside a drawing."""
        half = self.width / 2
        return Label(max(half, min(self.x, width - half)), self.words, self.size, self.weight)


def levels(labels: Sequence[Label], gap: float = 3) -> list[int]:
    """A level for each label, 0 upwards, so that those on one level do not touch."""
    taken: list[list[tuple[float, float]]] = []
    found = []
    for label in labels:
        left, right = label.x - label.width / 2 - gap / 2, label.x + label.width / 2 + gap / 2
        free = (
            level
            for level, spans in enumerate(taken)
            if all(right <= low or left >= high for low, high in spans)
        )
        level = next(free, len(taken))
        if level == len(taken):
            taken.append([])
        taken[level].append((left, right))
        found.append(level)
    return found
