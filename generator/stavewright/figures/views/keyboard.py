"""The piano keyboard: which keys the figure presses, each named as it is spelled."""

from dataclasses import dataclass
from math import floor

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.views.canvas import SOLID, Canvas
from stavewright.figures.views.tones import Tone, legend, mark, pitched_voices, spoken_list, tones
from stavewright.notation.score import Score

_WHITE = (0, 2, 4, 5, 7, 9, 11)
_KEY_WIDTH, _KEY_HEIGHT, _BLACK_HEIGHT = 22.0, 92.0, 56.0
_TOP = 42.0
"""Room above the keys for two rows of names."""
_NARROW_OCTAVES, _WIDE_OCTAVES = 2, 4


@dataclass(frozen=True, slots=True)
class _Range:
    """The keys of one row, by their MIDI numbers; both ends are white."""

    low: int
    high: int

    @property
    def whites(self) -> list[int]:
        return [key for key in range(self.low, self.high + 1) if key % 12 in _WHITE]

    def holds(self, tone: Tone) -> bool:
        return self.low <= floor(tone.pitch.key_number) <= self.high


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """A wide drawing and, where it is broader than a phone, one in rows of two octaves."""
    found = tones(score)
    names = pitched_voices(score)
    wide = _rows(found, names, _WIDE_OCTAVES)
    narrow = _rows(found, names, _NARROW_OCTAVES) if wide.width > 330 else None
    return wide, narrow


def speak(score: Score) -> SpokenText:
    """The keys from low to high, for each voice by itself where there are several."""
    found = tones(score)
    line = f"Piano keyboard with {spoken_list(tone.pitch.display for tone in found)} pressed."
    if not found:
        return SpokenText("Piano keyboard; no key is pressed.", ())
    if any(tone.pitch.name.is_microtonal for tone in found):
        line = line.replace(" pressed.", ": the quarter tones lie between two keys.")
    names = pitched_voices(score)
    if len(names) < 2:
        return SpokenText(line, ())
    by_voice = {
        name: spoken_list(tone.pitch.display for tone in found if name in tone.voices)
        for name in names
    }
    return SpokenText(line, tuple(f"{name}: {keys}." for name, keys in by_voice.items()))


def _rows(found: tuple[Tone, ...], names: tuple[str, ...], octaves: int) -> Drawing:
    ranges = _ranges(found, octaves)
    row_height = _TOP + _KEY_HEIGHT + 8
    width = max(len(row.whites) for row in ranges) * _KEY_WIDTH + 2
    foot = 22 if len(names) > 1 else 2
    canvas = Canvas(width, row_height * len(ranges) + foot)
    for place, row in enumerate(reversed(ranges)):
        _row(canvas, row, [tone for tone in found if row.holds(tone)], names, place * row_height)
    legend(canvas, names, 2, canvas.height - 5)
    return canvas.drawing()


def _ranges(found: tuple[Tone, ...], octaves: int) -> list[_Range]:
    """Rows from the lowest: one that fits the tones if it can, else rows of whole octaves."""
    if not found:
        return [_Range(60, 71)]
    keys = [floor(tone.pitch.key_number) for tone in found]
    low, high = _white_at_most(min(keys)), _white_at_least(max(keys))
    if high - low < 12:
        low -= low % 12
        high = max(high, low + 11)
    if high - low <= 12 * octaves:
        return [_Range(_white_at_most(low), _white_at_least(high))]
    start, step = low - low % 12, 12 * octaves
    rows = [_Range(base, base + step - 1) for base in range(start, high + 1, step)]
    return [row for row in rows if any(row.holds(tone) for tone in found)]


def _white_at_most(key: int) -> int:
    return key if key % 12 in _WHITE else key - 1


def _white_at_least(key: int) -> int:
    return key if key % 12 in _WHITE else key + 1


def _row(
    canvas: Canvas, row: _Range, found: list[Tone], names: tuple[str, ...], top: float
) -> None:
    place = {key: 1 + index * _KEY_WIDTH for index, key in enumerate(row.whites)}
    between = [tone for tone in found if tone.pitch.name.is_microtonal]
    found = [tone for tone in found if tone not in between]
    pressed = {floor(tone.pitch.key_number) for tone in found}
    y = top + _TOP
    right = 1 + len(row.whites) * _KEY_WIDTH
    canvas.rect(1, y, right - 1, _KEY_HEIGHT)
    for key in row.whites[1:]:
        # A black key covers the upper part of the line between its two neighbours.
        above = _BLACK_HEIGHT if key % 12 not in (0, 5) else 0
        canvas.line(place[key], y + above, place[key], y + _KEY_HEIGHT)
    for key in range(row.low, row.high + 1):
        if key % 12 not in _WHITE:
            _black(canvas, place[key + 1], y, key in pressed)
    for key in row.whites:
        if key % 12 == 0:
            number = f"C{key // 12 - 1}"
            canvas.text(place[key] + _KEY_WIDTH / 2, y + _KEY_HEIGHT - 5, number, 9, opacity="0.65")
    for key in sorted(pressed):
        _pressed(canvas, place, [t for t in found if floor(t.pitch.key_number) == key], names, y)
    for tone in between:
        _between(canvas, place, tone, y)


def _black(canvas: Canvas, x: float, y: float, is_pressed: bool) -> None:
    width = _KEY_WIDTH * 0.62
    fill = "none" if is_pressed else "currentColor"
    canvas.rect(x - width / 2, y, width, _BLACK_HEIGHT, fill=fill)


def _pressed(
    canvas: Canvas, place: dict[int, float], found: list[Tone], names: tuple[str, ...], y: float
) -> None:
    """The marks and names of one key."""
    key = floor(found[0].pitch.key_number)
    is_white = key % 12 in _WHITE
    x = _middle(place, key)
    depth = _KEY_HEIGHT - 22 if is_white else _BLACK_HEIGHT - 11
    players = list(dict.fromkeys(voice for tone in found for voice in tone.voices))
    for row, voice in enumerate(players):
        mark(canvas, names.index(voice), x, y + depth - 12 * row, 4.5)
    words = "/".join(dict.fromkeys(tone.pitch.name.display for tone in found))
    weight = "700" if any(tone.emphasised for tone in found) else "400"
    row_y = y - 6 if is_white else y - 24
    if not is_white:
        canvas.line(x, y - 20, x, y, 0.6, opacity="0.5")
    canvas.text(x, row_y, words, 12, font_weight=weight)


def _middle(place: dict[int, float], key: int) -> float:
    """The middle of a key, or of the gap beyond the last one."""
    if key % 12 in _WHITE and key in place:
        return place[key] + _KEY_WIDTH / 2
    return place[key + 1] if key + 1 in place else max(place.values()) + _KEY_WIDTH


def _between(canvas: Canvas, place: dict[int, float], tone: Tone, y: float) -> None:
    """A pitch that no key sounds: a wedge over the keys, between its two neighbours."""
    number = tone.pitch.key_number
    low = floor(number)
    x = _middle(place, low) + (number - low) * (_middle(place, low + 1) - _middle(place, low))
    canvas.polygon([(x, y), (x - 4, y - 7), (x + 4, y - 7)], **SOLID)
    canvas.line(x, y - 21, x, y - 7, 0.6, opacity="0.5")
    canvas.text(x, y - 24, tone.pitch.name.display, 11)
