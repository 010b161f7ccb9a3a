"""The circle of fifths: signatures in a ring, and where the figure's keys stand on it.

A key past seven accidentals has no place of its own: it stands outside the ring, at the key that
sounds like it, which is what "going round again" means.
"""

from dataclasses import dataclass
from math import cos, pi, sin

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.spoken import key_words
from stavewright.figures.spoken.tones import listed
from stavewright.figures.stretches import key_id, shown_keys
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.labels import key_text
from stavewright.notation.score import Score
from stavewright.theory import Key, Mode

_SIZE, _RADIUS, _INNER = 330.0, 116.0, 76.0
_TURN = 12
"""Fifths in one turn of the circle."""
_LINE, _LINE_SIZE = 17.0, 12.0


@dataclass(frozen=True, slots=True)
class Stop:
    """One key of the figure, on the circle."""

    key: Key
    order: int
    """From 1, in the order the figure comes to it."""

    @property
    def place(self) -> int:
        """Fifths clockwise from the top."""
        return self.key.signature % _TURN

    @property
    def ring(self) -> float:
        """The radius where its mark stands: outside with a major third, else inside."""
        return _RADIUS if self.key.mode.has_major_third else _INNER


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """One drawing; it fits a phone."""
    shown = stops(score)
    lines = _below(shown)
    canvas = Canvas(_SIZE, _SIZE + _LINE * len(lines))
    canvas.circle(_SIZE / 2, _SIZE / 2, _RADIUS, opacity="0.45")
    canvas.circle(_SIZE / 2, _SIZE / 2, _INNER, opacity="0.25")
    keys = frozenset(stop.key for stop in shown)
    for place in range(_TURN):
        _spoke(canvas, place, keys)
    _marks(canvas, shown)
    _second_turn(canvas, shown)
    for row, words in enumerate(lines):
        canvas.text(_SIZE / 2, _SIZE + _LINE * row + 6, words, _LINE_SIZE)
    return canvas.drawing(), None


def speak(score: Score) -> SpokenText:
    """Each key, its accidentals, and how many fifths it lies from the one before."""
    shown = stops(score)
    if not shown:
        return SpokenText("Circle of fifths. No key is named.", ())
    said = []
    for before, stop in zip((None, *shown), shown, strict=False):
        words = f"{key_words(stop.key)}: {_signature_words(stop.key)}"
        if stop.key.is_theoretical:
            words += f", once round and past seven; it sounds as {key_words(stop.key.practical)}"
        if before:
            distance = stop.key.signature - before.key.signature
            words += f"; {_steps(distance)} from {key_words(before.key)}"
        said.append(words + ".")
    named = listed([key_words(stop.key) for stop in shown])
    return SpokenText(f"Circle of fifths showing {named}.", tuple(said))


def _signature_words(key: Key) -> str:
    count = abs(key.signature)
    if count == 0:
        return "no sharps or flats"
    kind = "sharp" if key.signature > 0 else "flat"
    return f"{count} {kind if count == 1 else kind + 's'}"


def _steps(fifths: int) -> str:
    count = abs(fifths)
    way = "clockwise" if fifths > 0 else "counter-clockwise"
    return f"{count} {'step' if count == 1 else 'steps'} {way}" if count else "no step"


def stops(score: Score) -> tuple[Stop, ...]:
    """The keys of the figure in order, each once: signatures, changes, and numerals' local keys."""
    return tuple(Stop(key, order) for order, key in enumerate(shown_keys(score), start=1))


def _below(shown: tuple[Stop, ...]) -> list[str]:
    """What stands under the circle: the keys in their order, or that there are none."""
    if not shown:
        return ["No key is named."]
    if len(shown) == 1 and shown[0].key.mode in (Mode.MAJOR, Mode.MINOR):
        return []
    lines: list[str] = []
    for stop in shown:
        words = f"{stop.order} {key_text(stop.key)}" if len(shown) > 1 else key_text(stop.key)
        longer = f"{lines[-1]} · {words}" if lines else words
        if lines and text_width(longer, _LINE_SIZE) <= _SIZE - 8:
            lines[-1] = longer
        else:
            lines.append(words)
    return lines


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
    _words(canvas, place, _RADIUS - 25, _spellings(minors), 11.5, _weight(minors, keys))
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


def _marks(canvas: Canvas, shown: tuple[Stop, ...]) -> None:
    """A mark for each place the figure comes to, with the numbers of its visits."""
    visits: dict[tuple[int, float], list[int]] = {}
    for stop in shown:
        visits.setdefault((stop.place, stop.ring), []).append(stop.order)
    for (place, ring), orders in visits.items():
        x, y = _place(place, ring)
        ids = " ".join(key_id(order - 1) for order in orders)
        canvas.circle(x, y, 6, **SOLID, data_id=ids)
        if len(shown) > 1:
            # The numbers stand beside their mark: inside it, they would need the paper's colour.
            words = ",".join(map(str, orders))
            beside = place + (0.21 + 0.05 * len(words)) * _RADIUS / ring
            inward = 10 if ring == _RADIUS else 0
            _words(canvas, beside, ring - inward, words, 12, "700")


def _second_turn(canvas: Canvas, shown: tuple[Stop, ...]) -> None:
    """Keys past seven accidentals, further out than the key of the first turn."""
    far: dict[int, list[str]] = {}
    for stop in shown:
        if stop.key.is_theoretical:
            words = f"{_short(stop.key)} {accidentals(stop.key.signature)}"
            far.setdefault(stop.place, []).append(words)
    for place, named in far.items():
        x, y = _place(place, _RADIUS + 18)
        down = 1 if y >= _SIZE / 2 else -1
        for row, words in enumerate(named, start=1):
            half = text_width(words, 12) / 2
            inside = max(half, min(x, _SIZE - half))
            canvas.text(inside, y + 5 + down * 14 * row, words, 12, font_weight="700")


def _place(place: float, radius: float) -> tuple[float, float]:
    turn = 2 * pi * place / _TURN
    return _SIZE / 2 + radius * sin(turn), _SIZE / 2 - radius * cos(turn)


def _words(
    canvas: Canvas, place: float, radius: float, words: str, size: float, weight: str
) -> None:
    x, y = _place(place, radius)
    canvas.text(x, y + size * 0.36, words, size, font_weight=weight)
