"""Finds where in a block each change of key, metre, tempo and clef can be written.

A change stands before an event that begins at its moment, or at the end of a bar's music.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from fractions import Fraction

from stavewright.notation.score import Score, Voice
from stavewright.notation.values import show_tempo

Place = tuple[int, int]
"""A bar, and the index in the row of the event before which a change stands."""


@dataclass(slots=True)
class PlacedWords:
    """The changes that each row has to write."""

    voices: dict[str, dict[Place, list[str]]] = field(default_factory=dict)
    chords: dict[Fraction, list[str]] = field(default_factory=dict)
    """By moment: the line of chords finds the place itself."""


def place_changes(score: Score) -> PlacedWords:
    """Give every change to a row that can write it."""
    placed = PlacedWords({voice.name: defaultdict(list) for voice in score.voices})
    places = {voice.name: voice_places(score, voice) for voice in score.voices}
    for clef in score.clef_changes:
        _to_voice(placed, places, clef.at, f"clef({clef.clef})", score.staves[clef.staff].voices)
    names = tuple(voice.name for voice in score.voices)
    words = [(each.at, f"key({each.key})") for each in score.key_changes]
    words += [(each.at, f"time({each.meter})") for each in score.meter_changes]
    words += [(each.at, f"tempo({show_tempo(each.tempo)})") for each in score.tempo_changes]
    for at, text in words:
        if not _to_voice(placed, places, at, text, names):
            placed.chords.setdefault(at, []).append(text)
    return placed


def _to_voice(
    placed: PlacedWords,
    places: dict[str, dict[Fraction, Place]],
    at: Fraction,
    text: str,
    names: tuple[str, ...],
) -> bool:
    for name in names:
        if at in places[name]:
            placed.voices[name][places[name][at]].append(text)
            return True
    return False


def voice_places(score: Score, voice: Voice) -> dict[Fraction, Place]:
    """The moments at which a voice can write a change; the beginnings of events come first."""
    places: dict[Fraction, Place] = {}
    for event_index, event in enumerate(voice.events):
        places.setdefault(event.start, (event.bar, event_index))
    for index, bar in enumerate(voice.bars):
        following = voice.bars[index + 1].first if index + 1 < len(voice.bars) else None
        after = len(voice.events) if following is None else following
        empty = after == bar.first
        end = score.bars[index].start + (0 if empty else bar.length)
        places.setdefault(end, (index, after))
    return places
