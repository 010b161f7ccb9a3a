"""The neck of a fretted instrument, lying: every place where the figure's notes sound."""

from collections.abc import Iterator, Sequence

from stavewright.figures.figure import Drawing
from stavewright.figures.fingering import LAST_FRET
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.labels import name_text, no_pitch_words
from stavewright.figures.views.shapes import asks_for_frets, strings_of
from stavewright.figures.views.tones import tones
from stavewright.notation.score import Score
from stavewright.theory import Pitch, PitchName

_FRET, _GAP = 49.0, 24.0
_LEFT = 62.0
"""Room for the strings' names and for open strings, before the nut."""
_RIGHT = 10.0
_NAME_SIZE = 11.0
_OCTAVES = range(11)
_FEWEST_FRETS, _MOST_FRETS = 5, 24


def fret_range(score: Score) -> tuple[int, int]:
    """The frets to show: `fretboard(5-9)`; a scale's to the octave; else as far as notes ask."""
    options = next((view.options for view in score.show if view.name == "fretboard"), "")
    low, dash, high = (part.strip() for part in options.replace("–", "-").partition("-"))
    if dash and low.isdecimal() and high.isdecimal():
        first, last = sorted((min(int(low), _MOST_FRETS), min(int(high), _MOST_FRETS)))
        return first, max(last, 1)
    if score.scale is not None:
        return 0, LAST_FRET
    strings = strings_of(score)
    needed = [
        min((f for s in strings if (f := tone.pitch.key_number - s.key_number) >= 0), default=0)
        for tone in tones(score)
    ]
    return 0, max(_FEWEST_FRETS, min(LAST_FRET, -int(-max(needed, default=0) // 1)))


def places(
    strings: Sequence[Pitch], pitch: Pitch, low: float, high: float
) -> Iterator[tuple[int, float]]:
    """Where a pitch lies: (row from the highest string, fret), a fraction between two frets."""
    for row, string in enumerate(reversed(strings)):
        fret = pitch.key_number - string.key_number
        if low <= fret <= high:
            yield row, fret


def draw_necks(score: Score, pieces: list[tuple[int, int]]) -> Drawing:
    """Stretches of the neck under each other."""
    strings = strings_of(score)
    height = (len(strings) - 1) * _GAP + 56
    most = max(high - max(low, 1) + 1 for low, high in pieces)
    named = [names for piece in pieces for names in _stops(score, *piece).values()]
    broadest = max(
        (text_width("/".join(map(name_text, names)), _NAME_SIZE) for names in named), default=0
    )
    right = max(_RIGHT, broadest - _FRET / 2 + 10)
    words = _foot(score)
    width = max(most * _FRET + _LEFT + right, text_width(words, 12))
    canvas = Canvas(width, height * len(pieces) + (16 if words else 0))
    for place, (low, high) in enumerate(pieces):
        _neck(canvas, score, low, high, place * height)
    canvas.text(6, canvas.height - 6, words, 12, text_anchor="start")
    return canvas.drawing()


def _foot(score: Score) -> str:
    """What stands below the neck: what the squares are, or why there is nothing on it."""
    if score.scale is not None:
        return f"Squares: the tonic, {name_text(score.scale.tonic)}."
    return "" if tones(score) or asks_for_frets(score) else no_pitch_words(score)


def _neck(canvas: Canvas, score: Score, low: int, high: int, top: float) -> None:
    """One stretch of the neck, the highest string at the top, fret numbers below."""
    strings = strings_of(score)
    first = max(low, 1)
    y0 = top + 18
    right = _LEFT + (high - first + 1) * _FRET
    bottom = y0 + (len(strings) - 1) * _GAP
    for fret in range(first, high + 2):
        x = _LEFT + (fret - first) * _FRET
        canvas.line(x, y0, x, bottom, 3 if fret == 1 else 1)
        if fret <= high:
            canvas.text(x + _FRET / 2, bottom + 24, str(fret), 10.5, opacity="0.75")
    for row, string in enumerate(reversed(strings)):
        y = y0 + row * _GAP
        canvas.line(_LEFT, y, right, y, 0.8 + 0.2 * row)
        canvas.text(6, y + 4, name_text(string.name), 10.5, text_anchor="start", opacity="0.75")
    played = {tone.pitch.key_number for tone in tones(score)}
    for (row, place), found in _stops(score, low, high).items():
        key = strings[-1 - row].key_number + place
        lit = {"data_key": f"{key:g}"} if key in played else {}
        is_tonic = score.scale is not None and score.scale.tonic in found
        x, y = _x(place, first), y0 + row * _GAP
        _place(canvas, x, y, place, is_tonic=is_tonic, **lit)
        words = "/".join(map(name_text, found))
        canvas.text(x + 8, y - 4, words, _NAME_SIZE, font_weight="600", text_anchor="start")


def neck_pitches(score: Score) -> tuple[Pitch, ...]:
    """What to look for on the neck: what sounds, and of a scale its notes in every octave."""
    sounding = tuple(tone.pitch for tone in tones(score))
    if score.scale is None:
        return sounding
    names = dict.fromkeys(pitch.name for pitch in sounding)
    return tuple(sorted(name.at(octave) for name in names for octave in _OCTAVES))


def _stops(score: Score, low: int, high: int) -> dict[tuple[int, float], list[PitchName]]:
    """The names that sound at each place; spellings of one sound share it."""
    found: dict[tuple[int, float], list[PitchName]] = {}
    # What lies between the rows of a narrow drawing belongs to the row it leads to.
    start = low if low == fret_range(score)[0] else low - 0.99
    for pitch in neck_pitches(score):
        for place in places(strings_of(score), pitch, start, high):
            found.setdefault(place, []).append(pitch.name)
    return found


def _x(fret: float, first: int) -> float:
    return _LEFT + (fret - first + 0.5) * _FRET if fret else _LEFT - 27


def _place(canvas: Canvas, x: float, y: float, fret: float, *, is_tonic: bool, **lit: str) -> None:
    """A dot on its string, open where no fret stops it; a square for the tonic of a scale."""
    is_stopped = fret and fret % 1 == 0
    look = SOLID if is_stopped else {"stroke_width": "1.4"}
    size = 5.5 if is_stopped else 4.5
    if is_tonic:
        canvas.rect(x - size, y - size, 2 * size, 2 * size, **look, **lit)
    else:
        canvas.circle(x, y, size, **look, **lit)
