"""The fretboard: chords as fingerings, melodies and scales as places on the neck."""

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.fingering import LAST_FRET, Fingering, find_fingering
from stavewright.figures.views.canvas import SOLID, Canvas
from stavewright.figures.views.tones import spoken_list, tones
from stavewright.notation.score import Score
from stavewright.theory import Pitch

GUITAR = tuple(Pitch.parse(name) for name in ("E2", "A2", "D3", "G3", "B3", "E4"))
"""The strings of a block that names none: a guitar in its usual tuning (common practice)."""

_GAP, _FRET = 18.0, 24.0
_BOX_FRETS = 4
_BOX_WIDTH, _BOX_HEIGHT = 142.0, 190.0
_NECK_FRET, _NECK_GAP = 50.0, 24.0
_PER_ROW_WIDE, _PER_ROW_NARROW = 5, 2


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """Chord boxes if the figure has chords, else the neck; both with a narrow form if needed."""
    chords = _chords(score)
    if chords:
        wide = _boxes(score, chords, _PER_ROW_WIDE)
        narrow = _boxes(score, chords, _PER_ROW_NARROW)
        return wide, narrow if wide.width > narrow.width else None
    low, high = fret_range(score)
    wide = _necks(score, [(low, high)])
    if wide.width <= 330:
        return wide, None
    step = 5
    pieces = [(start, min(start + step - 1, high)) for start in range(low, high + 1, step)]
    return wide, _necks(score, pieces)


def speak(score: Score) -> SpokenText:
    """Each chord string by string, or each note with every place it has on the neck."""
    strings = strings_of(score)
    chords = _chords(score)
    if chords:
        said = [_in_words(strings, name, find_fingering(strings, notes)) for name, notes in chords]
        names = spoken_list(name or "a chord" for name, _ in chords)
        return SpokenText(f"Fretboard with fingerings for {names}.", tuple(said))
    low, high = fret_range(score)
    places = [
        f"{tone.pitch.display}: {spoken_list(where) or 'not on these frets'}."
        for tone in tones(score)
        if (where := _places_in_words(strings, tone.pitch, low, high)) is not None
    ]
    return SpokenText(f"Fretboard, frets {low} to {high}.", tuple(places))


def strings_of(score: Score) -> tuple[Pitch, ...]:
    """The open strings, as the block writes them or a guitar's."""
    return score.strings or GUITAR


def fret_range(score: Score) -> tuple[int, int]:
    """The frets to show: `fretboard(5-9)`, or from the nut as far as the notes ask (at least 5)."""
    options = next((view.options for view in score.show if view.name == "fretboard"), "")
    low, dash, high = options.replace("–", "-").partition("-")
    if dash and low.strip().isdigit() and high.strip().isdigit():
        first, last = sorted((min(int(low), 24), min(int(high), 24)))
        return first, last
    strings = strings_of(score)
    needed = [
        min((f for s in strings if (f := tone.pitch.key_number - s.key_number) >= 0), default=0)
        for tone in tones(score)
    ]
    return 0, max(5, min(LAST_FRET, int(max(needed, default=0))))


def _chords(score: Score) -> list[tuple[str, tuple[Pitch, ...]]]:
    """The chords of the figure with their symbols; none where it is a melody or a scale."""
    found = []
    for voice in score.voices:
        for event in voice.events:
            pitches = tuple(head.sound for head in event.heads if isinstance(head.sound, Pitch))
            if len(pitches) < 3:
                continue
            symbol = next((c.text for c in score.chords if c.start <= event.start < c.end), "")
            found.append((symbol, pitches))
    return found


def _boxes(score: Score, chords: list[tuple[str, tuple[Pitch, ...]]], per_row: int) -> Drawing:
    strings = strings_of(score)
    columns = min(per_row, len(chords))
    rows = -(-len(chords) // columns)
    canvas = Canvas(columns * _BOX_WIDTH, rows * _BOX_HEIGHT)
    for place, (symbol, notes) in enumerate(chords):
        left, top = place % columns * _BOX_WIDTH, place // columns * _BOX_HEIGHT
        _box(canvas, left, top, len(strings), symbol, find_fingering(strings, notes))
    return canvas.drawing()


def _box(
    canvas: Canvas, left: float, top: float, count: int, symbol: str, found: Fingering | None
) -> None:
    width = (count - 1) * _GAP
    x0, y0 = left + (_BOX_WIDTH - width) / 2, top + 48
    canvas.text(x0 + width / 2, top + 18, symbol.replace("#", "♯"), 15, font_weight="600")
    if found is None:
        canvas.text(x0 + width / 2, y0 + 2 * _FRET, "no fingering", 11)
        return
    base = _first_fret(found)
    for fret in range(_BOX_FRETS + 1):
        is_nut = base == 1 and fret == 0
        canvas.line(x0, y0 + fret * _FRET, x0 + width, y0 + fret * _FRET, 3 if is_nut else 1)
    if base > 1:
        canvas.text(x0 - 9, y0 + _FRET * 0.5 + 4, str(base), 11, text_anchor="end")
    for string in range(count):
        x = x0 + string * _GAP
        canvas.line(x, y0, x, y0 + _BOX_FRETS * _FRET)
        _stop(canvas, x, y0, found.frets[string], base)
        name = found.names[string]
        if name:
            canvas.text(x, y0 + _BOX_FRETS * _FRET + 17, name.display, 11)


def _first_fret(found: Fingering) -> int:
    return 1 if max(found.fretted, default=0) <= _BOX_FRETS else min(found.fretted)


def _stop(canvas: Canvas, x: float, y0: float, fret: int | None, base: int) -> None:
    if fret is None:
        for way in (-1, 1):
            canvas.line(x - 4, y0 - 9 - 4 * way, x + 4, y0 - 9 + 4 * way, 1.4)
    elif fret == 0:
        canvas.circle(x, y0 - 9, 4, stroke_width="1.4")
    else:
        canvas.circle(x, y0 + (fret - base + 0.5) * _FRET, 6.5, **SOLID)


def _necks(score: Score, pieces: list[tuple[int, int]]) -> Drawing:
    strings = strings_of(score)
    height = (len(strings) - 1) * _NECK_GAP + 52
    most = max(high - max(low, 1) + 1 for low, high in pieces)
    canvas = Canvas(most * _NECK_FRET + 62, height * len(pieces))
    for place, (low, high) in enumerate(pieces):
        _neck(canvas, score, low, high, place * height)
    return canvas.drawing()


def _neck(canvas: Canvas, score: Score, low: int, high: int, top: float) -> None:
    """One stretch of the neck, the highest string at the top, fret numbers below."""
    strings = strings_of(score)
    first = max(low, 1)
    x0, y0 = 52.0, top + 14
    right = x0 + (high - first + 1) * _NECK_FRET
    bottom = y0 + (len(strings) - 1) * _NECK_GAP
    for fret in range(first, high + 2):
        x = x0 + (fret - first) * _NECK_FRET
        canvas.line(x, y0, x, bottom, 3 if fret == 1 else 1)
        if fret <= high:
            canvas.text(x + _NECK_FRET / 2, bottom + 24, str(fret), 10.5, opacity="0.75")
    for row, string in enumerate(reversed(strings)):
        y = y0 + row * _NECK_GAP
        canvas.line(x0, y, right, y, 0.8 + 0.2 * row)
        canvas.text(8, y + 4, string.name.display, 10.5, opacity="0.75")
        for tone in tones(score):
            fret_number = tone.pitch.key_number - string.key_number
            if low <= fret_number <= high:
                _place(canvas, tone.pitch.name.display, x0, y, fret_number - first)


def _place(canvas: Canvas, name: str, x0: float, y: float, frets: float) -> None:
    """A dot on its string with the note's name over it; an open string's stands before the neck."""
    x = x0 + (frets + 0.5) * _NECK_FRET if frets >= 0 else x0 - 16
    if frets >= 0:
        canvas.circle(x, y, 5.5, **SOLID)
    else:
        canvas.circle(x, y, 4.5, stroke_width="1.4")
    canvas.text(x + 8, y - 4, name, 11, font_weight="600", text_anchor="start")


def _places_in_words(strings: tuple[Pitch, ...], pitch: Pitch, low: int, high: int) -> list[str]:
    found = []
    for number, string in enumerate(reversed(strings), start=1):
        fret = pitch.key_number - string.key_number
        if low <= fret <= high:
            where = "open" if fret == 0 else f"fret {fret:g}"
            found.append(f"string {number} {where}")
    return found


def _in_words(strings: tuple[Pitch, ...], symbol: str, found: Fingering | None) -> str:
    if found is None:
        return f"{symbol or 'Chord'}: no hand can play it on these strings."
    said = []
    for string, fret, name in zip(strings, found.frets, found.names, strict=True):
        place = "muted" if fret is None else "open" if fret == 0 else f"fret {fret}"
        said.append(f"{string.display} string {place}" + (f" ({name.display})" if name else ""))
    return f"{symbol or 'Chord'}, from the lowest string: {', '.join(said)}."
