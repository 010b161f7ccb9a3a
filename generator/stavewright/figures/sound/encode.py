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
from fractions import Fraction
from typing import Any

from stavewright.figures.sound.claims import ClaimSound
from stavewright.figures.sound.performance import Lit, Performance, PlayedNote
from stavewright.figures.timeline import nearest
from stavewright.notation.score import Drum

_MILLION = 1_000_000


def encode(performance: Performance) -> str:
    """The JSON of a performance, one line, safe inside a `script` element."""
    lead = performance.lead
    hits = [note for note in performance.notes if isinstance(note.sound, Drum)]
    notes = [note for note in performance.notes if not isinstance(note.sound, Drum)]
    lit = [_lit_row(each, lead) for each in performance.lit]
    return _json(
        {
            "a4": _number(performance.a4),
            "length": _microseconds(performance.seconds + lead),
            "voices": list(performance.voices),
            "notes": [_row(note, lead) for note in notes],
            "hits": [_row(note, lead) for note in hits],
            "beats": [
                [_microseconds(click.seconds + lead), int(click.is_first)]
                for click in performance.clicks
            ],
            **({"lit": lit} if lit else {}),
        }
    )


def encode_claim(sound: ClaimSound) -> str:
    """The JSON of a claim: `{"notes": [[start, length, key, name], …]}`; of a rhythm, `"hits"`."""
    rows = [
        [
            _microseconds(note.seconds),
            _microseconds(note.length),
            _number(note.pitch.key_number),
            note.pitch.display,
        ]
        for note in sound.notes
    ]
    if not sound.clicks:
        return _json({"notes": rows})
    hits = [
        [_microseconds(click.seconds), _microseconds(click.length), click.key, click.name]
        for click in sound.clicks
    ]
    return _json({"hits": hits})


def _row(note: PlayedNote, lead: Fraction) -> list[Any]:
    start = _microseconds(note.seconds + lead if lead else note.seconds)
    return [
        start,
        _microseconds(note.until + lead if lead else note.until) - start,
        _number(note.sound.key_number),
        note.voice,
        note.loudness,
        " ".join(note.ids),
    ]


def _lit_row(lit: Lit, lead: Fraction) -> list[Any]:
    row = [_microseconds(lit.seconds + lead), _microseconds(lit.until - lit.seconds), lit.id]
    if isinstance(lit.sound, Drum):
        return [*row, f"drum-{lit.sound.key_number}"]
    return [*row, _number(lit.sound.key_number)] if lit.sound else row


def _microseconds(seconds: Fraction) -> int:
    return nearest(seconds, _MILLION)


def _number(value: float | Fraction) -> float | int:
    """Whole where it can be, else to a ten-thousandth: of a half step or a hertz, unheard."""
    rounded = round(float(value), 4)
    return int(rounded) if rounded == int(rounded) else rounded


def _json(value: dict[str, Any]) -> str:
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c")
