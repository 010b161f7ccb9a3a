"""The tones a view shows: each sounding pitch of a score once, with who plays it."""

from dataclasses import dataclass

from stavewright.figures.spoken import pitch_words
from stavewright.figures.spoken.tones import listed
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


def tones_in_words(found: tuple[Tone, ...]) -> str:
    """The pitches as a list in a sentence: `C 4, E half flat 4 and G 4`."""
    return listed([pitch_words(tone.pitch) for tone in found])
