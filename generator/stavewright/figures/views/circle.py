"""The circle of fifths: signatures in a ring, and where the figure's keys stand on it.

A key past seven accidentals has no place of its own: it stands on a second turn outside the ring,
at the key that sounds like it, which is what "going round again" means.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import cos, pi, sin

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.views.canvas import SOLID, Canvas
from stavewright.figures.views.tones import spoken_list
from stavewright.notation.score import Score
from stavewright.theory import Key, Mode

_SIZE, _RADIUS, _INNER = 330.0, 116.0, 76.0
_TURN = 12
"""Fifths in one turn of the circle."""


@dataclass(frozen=True, slots=True)
class Stop:
    """One key of the figure, on the circle."""

    key: Key
    order: int
    """From 1, in the order the figure comes to it."""


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """One drawing; it fits a phone."""
    canvas = Canvas(_SIZE, _SIZE)
    canvas.circle(_SIZE / 2, _SIZE / 2, _RADIUS, opacity="0.45")
    canvas.circle(_SIZE / 2, _SIZE / 2, _INNER, opacity="0.25")
    shown = stops(score)
    keys = frozenset(stop.key for stop in shown)
    for place in range(_TURN):
        _spoke(canvas, place, keys)
    for stop in shown:
        _stop(canvas, stop, len(shown) > 1)
    return canvas.drawing(), None


def speak(score: Score) -> SpokenText:
    """Each key, its accidentals, and how many fifths it lies from the one before."""
    shown = stops(score)
    line = f"Circle of fifths showing {spoken_list(str(stop.key) for stop in shown)}."
    said = []
    for before, stop in zip((None, *shown), shown, strict=False):
        count = abs(stop.key.signature)
        kind = "sharp" if stop.key.signature > 0 else "flat"
        words = f"{stop.key}: {count or 'no'} {kind if count == 1 else kind + 's'}"
        if stop.key.is_theoretical:
            words += f", once round and past seven; it sounds as {stop.key.practical}"
        if before:
            words += f"; {_steps(stop.key.signature - before.key.signature)} from {before.key}"
        said.append(words + ".")
    return SpokenText(line if shown else "Circle of fifths; no key is named.", tuple(said))


def _steps(fifths: int) -> str:
    count = abs(fifths)
    way = "clockwise" if fifths > 0 else "counter-clockwise"
    return f"{count} {'step' if count == 1 else 'steps'} {way}" if count else "no step"


def stops(score: Score) -> tuple[Stop, ...]:
    """The keys of the figure in order, each once: signatures, changes, and numerals' local keys."""
    keys = [(Fraction(0), score.key)] if score.key else []
    keys += [(change.at, change.key) for change in score.key_changes]
    keys += [(event.start, event.key) for event in score.numerals if event.key]
    keys += [(event.start, event.pivot_key) for event in score.numerals if event.pivot_key]
    ordered = dict.fromkeys(key for _, key in sorted(keys, key=lambda pair: pair[0]))
    return tuple(Stop(key, order) for order, key in enumerate(ordered, start=1))


def _spoke(canvas: Canvas, place: int, keys: frozenset[Key]) -> None:
    """The major and minor key of one signature, with its accidentals inside them."""
    near = place if place < 7 else place - _TURN
    # From five to seven accidentals two spellings share a place.
    signatures = (
        (near, near - _TURN) if near >= 5 else (near, near + _TURN) if near == -5 else (near,)
    )
    majors = [Key.of_signature(signature) for signature in signatures]
    minors = [Key.of_signature(signature, Mode.MINOR) for signature in signatures]
    _words(canvas, place, _RADIUS + 18, _spellings(majors), 13, _weight(majors, keys))
    _words(canvas, place, _RADIUS - 24, _spellings(minors), 11.5, _weight(minors, keys))
    for row, signature in enumerate(signatures):
        x, y = _place(place, _RADIUS - 60)
        y += 4 + 12 * (row - (len(signatures) - 1) / 2)
        canvas.text(x, y, accidentals(signature), 10.5, opacity="0.75")


def _spellings(keys: list[Key]) -> str:
    return "/".join(map(_short, keys))


def _short(key: Key) -> str:
    """A key's tonic as the circle writes it: small letters for minor (common practice)."""
    return key.tonic.display if key.mode.has_major_third else key.tonic.display.lower()


def _weight(spelled: list[Key], keys: frozenset[Key]) -> str:
    return "700" if keys.intersection(spelled) else "400"


def accidentals(signature: int) -> str:
    """A signature in short: `3♯`, `2♭`, `0`."""
    sign = "♯" if signature > 0 else "♭" if signature < 0 else ""
    return f"{abs(signature)}{sign}"


def _stop(canvas: Canvas, stop: Stop, numbered: bool) -> None:
    place = stop.key.signature % _TURN
    ring = _RADIUS if stop.key.mode.has_major_third else _INNER
    x, y = _place(place, ring)
    canvas.circle(x, y, 6, **SOLID)
    if numbered:
        # The number stands beside its mark: inside it, it would need the paper's colour.
        nx, ny = _place(place + 0.28 * _RADIUS / ring, ring)
        canvas.text(nx, ny + 4, str(stop.order), 12, font_weight="700")
    if stop.key.is_theoretical:
        words = f"{_short(stop.key)} {accidentals(stop.key.signature)}"
        _words(canvas, place, _RADIUS + 43, words, 12, "700")


def _place(place: float, radius: float) -> tuple[float, float]:
    turn = 2 * pi * place / _TURN
    return _SIZE / 2 + radius * sin(turn), _SIZE / 2 - radius * cos(turn)


def _words(
    canvas: Canvas, place: float, radius: float, words: str, size: float, weight: str
) -> None:
    x, y = _place(place, radius)
    canvas.text(x, y + size * 0.36, words, size, font_weight=weight)
