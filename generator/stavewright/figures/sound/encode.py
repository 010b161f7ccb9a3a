"""A performance as compact JSON, for the player in the page.

    {"a4": 440, "length": 2500000, "voices": ["right hand", "left hand"],
     "notes": [[start, length, key, voice, loudness, "ids"], …],
     "hits":  [the same, for percussion],
     "beats": [[start, 1 where a bar begins], …],
     "lit":   [[start, length, "ids", key of an ornament's note, or nothing], …]}

Times are whole microseconds from the first sound or the written beginning, whichever comes first.
A key is MIDI's note number, with a fraction for cents; of a hit, its number in General MIDI's
percussion map. The ids are those of `data-id` in the drawings, with a space between. What is lit
without sounding (a chord's symbol, a key on the circle) is there only where a view shows it; an
ornament's written note is lit as long as its quick notes, which have no ids, go on.
"""

import json
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final

from stavewright.figures.sound.claims import ClaimSound
from stavewright.figures.sound.performance import Lit, Performance, PlayedNote
from stavewright.figures.timeline import nearest
from stavewright.notation.score import Drum

_MILLION: Final = 1_000_000
_COMPACT: Final = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))


def encode(performance: Performance) -> str:
    """The JSON of a performance, one line, safe inside a `script` element."""
    watch = _Watch(performance.lead, performance.resolution.instants)
    hits = [note for note in performance.notes if isinstance(note.sound, Drum)]
    notes = [note for note in performance.notes if not isinstance(note.sound, Drum)]
    lit = [_lit_row(each, watch) for each in performance.lit]
    return _json(
        {
            "a4": _number(performance.a4),
            "length": watch.at(performance.length),
            "voices": list(performance.voices),
            "notes": [_row(note, watch) for note in notes],
            "hits": [_row(note, watch) for note in hits],
            "beats": [[watch.at(click.at), int(click.is_first)] for click in performance.clicks],
            **({"lit": lit} if lit else {}),
        }
    )


@dataclass(frozen=True, slots=True)
class _Watch:
    """Tells the time of a performance in whole microseconds."""

    lead: int
    """Instants before the written beginning, from where it counts."""
    second: int
    """Instants."""

    def at(self, instant: int) -> int:
        """When an instant comes."""
        return nearest((instant + self.lead) * _MILLION, self.second)

    def length(self, instants: int) -> int:
        """How long a time is."""
        return nearest(instants * _MILLION, self.second)


def encode_claim(sound: ClaimSound) -> str:
    """The JSON of a claim: `{"notes": [[start, length, key, name], …]}`; of a rhythm, `"hits"`."""
    if sound.clicks:
        hits = [[click.start, click.length, click.key, click.name] for click in sound.clicks]
        return _json({"hits": hits})
    notes = [
        [note.start, note.length, _number(note.pitch.key_number), note.pitch.display]
        for note in sound.notes
    ]
    return _json({"notes": notes})


def _row(note: PlayedNote, watch: _Watch) -> list[Any]:
    start = watch.at(note.attack)
    return [
        start,
        watch.at(note.release) - start,
        _number(note.sound.key_number),
        note.voice,
        note.loudness,
        " ".join(note.ids),
    ]


def _lit_row(lit: Lit, watch: _Watch) -> list[Any]:
    row = [watch.at(lit.begin), watch.length(lit.until - lit.begin), lit.id]
    if isinstance(lit.sound, Drum):
        return [*row, f"drum-{lit.sound.key_number}"]
    return [*row, _number(lit.sound.key_number)] if lit.sound else row


@lru_cache(maxsize=512)  # the same few keys again and again
def _number(value: float | Fraction) -> float | int:
    """Whole where it can be, else to a ten-thousandth: of a half step or a hertz, unheard."""
    rounded = round(float(value), 4)
    return int(rounded) if rounded == int(rounded) else rounded


def _json(value: dict[str, Any]) -> str:
    return _COMPACT.encode(value).replace("<", "\\u003c")
