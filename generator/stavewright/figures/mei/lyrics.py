"""Syllables by the note they are sung on."""

from dataclasses import dataclass
from itertools import pairwise

from stavewright.notation.score import Score, Syllable, Words


@dataclass(frozen=True, slots=True)
class Sung:
    """A syllable under a note."""

    verse: int
    text: str
    joined: bool
    """A hyphen follows."""
    continues: bool
    """A hyphen stands before it."""
    held: bool
    """A line follows: it is sung on over the next notes."""


def sung_syllables(score: Score) -> dict[tuple[int, int], list[Sung]]:
    """The syllables under each event, by voice and event."""
    voices = {voice.name: place for place, voice in enumerate(score.voices)}
    found: dict[tuple[int, int], list[Sung]] = {}
    for words in sorted(score.words, key=lambda words: words.verse):
        if words.voice in voices:
            for event, sung in _verse(words):
                found.setdefault((voices[words.voice], event), []).append(sung)
    return found


def _verse(words: Words) -> list[tuple[int, Sung]]:
    """Each printed syllable with its event; a held one shows as a line after the last."""
    sung = []
    written = [s for s in words.syllables if s.event is not None]
    joined_before = False
    for syllable, after in pairwise([*written, Syllable("", False, None)]):
        if not syllable.text or syllable.event is None:
            continue
        held = not after.text and after.event is not None and not syllable.hyphen
        line = Sung(words.verse, syllable.text, syllable.hyphen, joined_before, held)
        sung.append((syllable.event, line))
        joined_before = syllable.hyphen
    return sung
