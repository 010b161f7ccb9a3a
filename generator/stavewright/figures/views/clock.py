"""The pitch-class clock: the twelve pitch classes in a ring, C at the top, rising clockwise."""

from math import cos, pi, sin

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.views.canvas import SOLID, Canvas
from stavewright.figures.views.tones import spoken_list, tones
from stavewright.notation.score import Score

_WIDTH, _HEIGHT, _RADIUS = 320.0, 266.0, 92.0
_PLAIN = ("C", "C♯/D♭", "D", "D♯/E♭", "E", "F", "F♯/G♭", "G", "G♯/A♭", "A", "A♯/B♭", "B")


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """One drawing; it fits a phone."""
    names = spelled_classes(score)
    canvas = Canvas(_WIDTH, _HEIGHT)
    canvas.circle(_WIDTH / 2, _HEIGHT / 2, _RADIUS, opacity="0.45")
    places = {cents: _place(cents, _RADIUS) for cents in names}
    if len(places) > 2:
        canvas.polygon(list(places.values()), fill="currentColor", fill_opacity="0.07")
    elif len(places) == 2:
        (x1, y1), (x2, y2) = places.values()
        canvas.line(x1, y1, x2, y2)
    for hour in range(12):
        if 100 * hour not in names:
            x, y = _place(100 * hour, _RADIUS)
            canvas.circle(x, y, 2.2, fill="currentColor", stroke="none", opacity="0.5")
            _name(canvas, 100 * hour, _PLAIN[hour], 10.5, opacity="0.6")
    for cents, (x, y) in places.items():
        canvas.circle(x, y, 6.5, **SOLID)
        _name(canvas, cents, "/".join(names[cents]), 14, font_weight="600")
    return canvas.drawing(), None


def speak(score: Score) -> SpokenText:
    """The pitch classes clockwise, and the half steps from each to the next."""
    names = spelled_classes(score)
    line = f"Pitch-class clock with {spoken_list('/'.join(words) for words in names.values())}."
    if len(names) < 2:
        return SpokenText(line, ())
    cents = list(names)
    steps = [
        (after - before) % 1200 for before, after in zip(cents, cents[1:] + cents[:1], strict=True)
    ]
    said = ", ".join(f"{step / 100:g}" for step in steps)
    return SpokenText(line, (f"Half steps from each to the next, round to the first: {said}.",))


def spelled_classes(score: Score) -> dict[int, list[str]]:
    """Cents above C of every pitch class that sounds, rising, with its spellings for readers."""
    found: dict[int, list[str]] = {}
    for tone in tones(score):
        name = tone.pitch.name
        spellings = found.setdefault(name.cents, [])
        if name.display not in spellings:
            spellings.append(name.display)
    return dict(sorted(found.items()))


def _place(cents: float, radius: float) -> tuple[float, float]:
    turn = 2 * pi * cents / 1200
    return _WIDTH / 2 + radius * sin(turn), _HEIGHT / 2 - radius * cos(turn)


def _name(canvas: Canvas, cents: float, words: str, size: float, **more: str) -> None:
    x, y = _place(cents, _RADIUS + 17)
    side = x - _WIDTH / 2
    anchor = "middle" if abs(side) < 8 else "start" if side > 0 else "end"
    lift = 0.36 + 0.4 * (y - _HEIGHT / 2) / _RADIUS
    canvas.text(x, y + size * lift, words, size, text_anchor=anchor, **more)
