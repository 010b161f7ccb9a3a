"""The piano keyboard: which keys the figure presses, each named as it is spelled."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import floor

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.spoken.events import voice_words
from stavewright.figures.views.canvas import SOLID, Canvas, text_width
from stavewright.figures.views.labels import Label, levels, name_text, no_pitch_words
from stavewright.figures.views.marks import legend, legend_height, legend_rows, mark
from stavewright.figures.views.tones import Tone, pitched_voices, tones, tones_in_words
from stavewright.notation.score import Score

_WHITE = (0, 2, 4, 5, 7, 9, 11)
_KEY_WIDTH, _KEY_HEIGHT, _BLACK_HEIGHT = 21.0, 92.0, 56.0
_NAME_ROW = 15.0
_WEDGE = 8.0
"""Room for the wedge that points between two keys."""
_MARK, _MARK_STEP = 4.5, 12.0
_NARROW_OCTAVES, _WIDE_OCTAVES = 2, 4
_PHONE = 330.0


@dataclass(frozen=True, slots=True)
class KeyRange:
    """The keys of one row, by their MIDI numbers; both ends are white."""

    low: int
    high: int

    @property
    def whites(self) -> list[int]:
        """The white keys, from the left."""
        return [key for key in range(self.low, self.high + 1) if key % 12 in _WHITE]

    @property
    def width(self) -> float:
        """How broad the row is drawn."""
        return len(self.whites) * _KEY_WIDTH + 2

    def holds(self, tone: Tone) -> bool:
        """Whether the tone lies on these keys, or just above one of them."""
        return self.low <= floor(tone.pitch.key_number) <= self.high

    def middle(self, number: float) -> float:
        """Where a key's middle lies, or a place between two keys for a fractional number."""
        key = floor(number)
        if key != number:
            low, high = self.middle(key), self.middle(key + 1)
            return low + (number - key) * (high - low)
        whites = sum(other % 12 in _WHITE for other in range(self.low, key))
        return 1 + (whites + (0.5 if key % 12 in _WHITE else 0)) * _KEY_WIDTH


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """A wide drawing and, where it is broader than a phone, one in rows of two octaves."""
    wide = _drawing(score, _WIDE_OCTAVES)
    return wide, _drawing(score, _NARROW_OCTAVES) if wide.width > _PHONE else None


def speak(score: Score) -> SpokenText:
    """The keys from low to high, for each voice by itself where there are several."""
    found = tones(score)
    if not found:
        return SpokenText(f"Piano keyboard, no key pressed. {no_pitch_words(score)}", ())
    line = f"Piano keyboard with {tones_in_words(found)}."
    between = tuple(tone for tone in found if tone.pitch.name.is_microtonal)
    said = []
    if between:
        lie = "lies" if len(between) == 1 else "lie"
        said.append(f"{tones_in_words(between)} {lie} between two keys.")
    named = [voice for voice in score.voices if voice.name in pitched_voices(score)]
    if len(named) > 1:
        said += [
            f"{voice_words(voice).capitalize()}: "
            f"{tones_in_words(tuple(tone for tone in found if voice.name in tone.voices))}."
            for voice in named
        ]
    return SpokenText(line, tuple(said))


def key_ranges(found: tuple[Tone, ...], octaves: int) -> list[KeyRange]:
    """Rows from the lowest: one that fits the tones if it can, else rows of whole octaves."""
    if not found:
        return [KeyRange(60, 71)]
    low = _white_at_most(min(floor(tone.pitch.key_number) for tone in found))
    high = _white_at_least(max(-floor(-tone.pitch.key_number) for tone in found))
    if high - low < 12:
        from_c = low - low % 12
        low, high = (from_c, from_c + 11) if high < from_c + 12 else (low, low + 12)
    if high - low <= 12 * octaves:
        return [KeyRange(low, high)]
    start, step = low - low % 12, 12 * octaves
    rows = [KeyRange(base, base + step - 1) for base in range(start, high + 1, step)]
    return [_trimmed(held) for row in rows if (held := [t for t in found if row.holds(t)])]


def _trimmed(held: Iterable[Tone]) -> KeyRange:
    """A row without the octaves below its lowest tone and above its highest."""
    keys = [floor(tone.pitch.key_number) for tone in held]
    return KeyRange(min(keys) // 12 * 12, max(keys) // 12 * 12 + 11)


def _white_at_most(key: int) -> int:
    return key if key % 12 in _WHITE else key - 1


def _white_at_least(key: int) -> int:
    return key if key % 12 in _WHITE else key + 1


def _drawing(score: Score, octaves: int) -> Drawing:
    found, names = tones(score), pitched_voices(score)
    rows = key_ranges(found, octaves)
    words = "" if found else no_pitch_words(score)
    width = max(max(row.width for row in rows), text_width(words, 12) + 2)
    labels = [_labels([t for t in found if row.holds(t)], row, width) for row in rows]
    heights = [_names_height(found) + _KEY_HEIGHT + 8 for found in labels]
    rows_of_legend = legend_rows(names, width)
    foot = legend_height(rows_of_legend) + (20 if words else 2)
    canvas = Canvas(width, sum(heights) + foot)
    top = 0.0
    for row, above, height in reversed(list(zip(rows, labels, heights, strict=True))):
        y = top + height - _KEY_HEIGHT - 8
        _row(canvas, row, [tone for tone in found if row.holds(tone)], names, y)
        for label, level in above:
            _name(canvas, label, y - 6 - level * _NAME_ROW)
        top += height
    legend(canvas, rows_of_legend, 2, top)
    canvas.text(1, top + 12, words, 12, text_anchor="start")
    return canvas.drawing()


def _labels(found: list[Tone], row: KeyRange, width: float) -> list[tuple[Label, int]]:
    """The names above the keys of a row and their levels: white keys' first, the rest over them."""
    on_white: list[Label] = []
    above: list[Label] = []
    for tone in found:
        number = tone.pitch.key_number
        words, weight = name_text(tone.pitch.name), "700" if tone.emphasised else "400"
        label = Label(row.middle(number), words, 12, weight).within(width)
        lies_on_white = number == floor(number) and floor(number) % 12 in _WHITE
        (on_white if lies_on_white else above).append(label)
    low = levels(on_white)
    base = max(low, default=-1) + 1
    return [*zip(on_white, low, strict=True)] + [
        (label, base + level) for label, level in zip(above, levels(above), strict=True)
    ]


def _names_height(labels: list[tuple[Label, int]]) -> float:
    return (max((level for _, level in labels), default=0) + 1) * _NAME_ROW + _WEDGE


def _name(canvas: Canvas, label: Label, y: float) -> None:
    canvas.text(label.x, y, label.words, label.size, font_weight=label.weight)


def _row(
    canvas: Canvas, row: KeyRange, found: list[Tone], names: tuple[str, ...], y: float
) -> None:
    """One row of keys with its marks; `y` is the keys' upper edge."""
    between = [tone for tone in found if tone.pitch.name.is_microtonal]
    players: dict[int, dict[str, None]] = {}
    for tone in found:
        if tone not in between:
            players.setdefault(int(tone.pitch.key_number), {}).update(dict.fromkeys(tone.voices))
    _keys(canvas, row, frozenset(players), y)
    for key, voices in players.items():
        _pressed(canvas, row, key, [names.index(voice) for voice in voices], y)
    for tone in between:
        number = tone.pitch.key_number
        x = row.middle(number)
        corners = [(x, y), (x - 3, y - 5), (x + 3, y - 5)]
        canvas.polygon(corners, **SOLID, data_key=f"{number:g}")


def _keys(canvas: Canvas, row: KeyRange, pressed: frozenset[int], y: float) -> None:
    canvas.rect(1, y, row.width - 2, _KEY_HEIGHT)
    for key in row.whites:
        x = row.middle(key) - _KEY_WIDTH / 2
        if key != row.low:
            # A black key covers the upper part of the line between its two neighbours.
            above = _BLACK_HEIGHT if key % 12 not in (0, 5) else 0
            canvas.line(x, y + above, x, y + _KEY_HEIGHT)
        if key % 12 == 0:
            name = f"C{key // 12 - 1}".replace("-", "−")
            canvas.text(x + _KEY_WIDTH / 2, y + _KEY_HEIGHT - 5, name, 9, opacity="0.65")
    width = _KEY_WIDTH * 0.62
    for key in range(row.low, row.high + 1):
        if key % 12 not in _WHITE:
            fill = "none" if key in pressed else "currentColor"
            canvas.rect(row.middle(key) - width / 2, y, width, _BLACK_HEIGHT, fill=fill)


def _pressed(canvas: Canvas, row: KeyRange, key: int, voices: list[int], y: float) -> None:
    """The marks of one key, the first voice's lowest; many voices crowd together."""
    is_white = key % 12 in _WHITE
    columns = 2 if is_white and len(voices) > 2 else 1
    stacked = -(-len(voices) // columns)
    lowest = _KEY_HEIGHT - 19 if is_white else _BLACK_HEIGHT - 11
    # On a white key the marks stay below the black ones.
    room = lowest - (_BLACK_HEIGHT + 6 if is_white else 6)
    step = min(_MARK_STEP, room / max(1, stacked - 1))
    size = _MARK if len(voices) < 3 else max(2.5, min(_MARK - 0.7, step / 2 - 0.5))
    for place, voice in enumerate(voices):
        across = (place % columns - (columns - 1) / 2) * 10
        height = lowest - step * (place // columns)
        mark(canvas, voice, row.middle(key) + across, y + height, size, data_key=str(key))
