"""The fretboard: chords as fingerings, melodies and scales as places on the neck."""

from itertools import pairwise

from stavewright.figures.figure import Drawing, SpokenText
from stavewright.figures.fingering import Fingering
from stavewright.figures.spoken import name_words, pitch_words
from stavewright.figures.spoken.tones import listed
from stavewright.figures.views.boxes import draw_boxes
from stavewright.figures.views.labels import no_pitch_words
from stavewright.figures.views.neck import draw_necks, fret_range, neck_pitches, places
from stavewright.figures.views.shapes import Shape, asks_for_frets, shapes, strings_of
from stavewright.figures.views.tones import tones
from stavewright.notation.score import Score
from stavewright.theory import Pitch, PitchName

_PHONE = 330.0
_WIDE = 710.0
_FRETS_PER_ROW = 5


def draw(score: Score) -> tuple[Drawing, Drawing | None]:
    """Chord boxes if the figure has chords, else the neck; both with a narrow form if needed."""
    found = shapes(score)
    if found:
        strings = len(strings_of(score))
        wide = draw_boxes(found, strings, _WIDE)
        return wide, draw_boxes(found, strings, _PHONE) if wide.width > _PHONE else None
    low, high = fret_range(score)
    wide = draw_necks(score, [(low, high)])
    return wide, _narrow_neck(score, low, high) if wide.width > _PHONE else None


def speak(score: Score) -> SpokenText:
    """Each chord string by string, or each note with every place it has on the neck."""
    strings = strings_of(score)
    found = shapes(score)
    if found:
        line = f"Fretboard with fingerings for {listed([shape.spoken for shape in found])}."
        return SpokenText(line, tuple(_shape_in_words(strings, shape) for shape in found))
    low, high = fret_range(score)
    line = f"Fretboard, frets {low} to {high}."
    sounding = tones(score)
    if not sounding and not asks_for_frets(score):
        return SpokenText(f"Fretboard. {no_pitch_words(score)}", ())
    if score.scale is not None:
        line = f"Fretboard, frets {low} to {high}, the scale in every octave."
        return SpokenText(line, _scale_in_words(score, low, high))
    said = (_tone_in_words(strings, [tone.pitch], low, high) for tone in sounding)
    return SpokenText(line, tuple(said))


def _narrow_neck(score: Score, low: int, high: int) -> Drawing:
    """The neck in rows of as many frets as their notes' names leave room for."""
    for frets in range(_FRETS_PER_ROW, 1, -1):
        drawing = draw_necks(score, _pieces(low, high, frets))
        if drawing.width <= _PHONE:
            return drawing
    return draw_necks(score, _pieces(low, high, 1))


def _pieces(low: int, high: int, frets: int) -> list[tuple[int, int]]:
    """The stretch in rows of nearly the same length; open strings stand before the first fret."""
    first = max(low, 1)
    count = high - first + 1
    rows = -(-count // frets)
    edges = [first + count * row // rows for row in range(rows + 1)]
    pieces = [(start, stop - 1) for start, stop in pairwise(edges)]
    return [(low, pieces[0][1]), *pieces[1:]]


def _scale_in_words(score: Score, low: int, high: int) -> tuple[str, ...]:
    """Every note of the scale with all its places, from the tonic up."""
    octaves: dict[PitchName, list[Pitch]] = {tone.pitch.name: [] for tone in tones(score)}
    for pitch in neck_pitches(score):
        octaves[pitch.name].append(pitch)
    strings = strings_of(score)
    said = (_tone_in_words(strings, pitches, low, high) for pitches in octaves.values())
    tonic = name_words(score.scale.tonic) if score.scale else ""
    return tuple(words.replace(f"{tonic}:", f"{tonic}, the tonic:", 1) for words in said)


def _tone_in_words(strings: tuple[Pitch, ...], pitches: list[Pitch], low: int, high: int) -> str:
    said = []
    found = [place for pitch in pitches for place in places(strings, pitch, low, high)]
    for row, fret in sorted(found, key=lambda place: (-place[0], place[1])):
        where = "open" if fret == 0 else f"fret {fret:g}"
        if fret % 1:
            where = f"between frets {int(fret)} and {int(fret) + 1}"
        said.append(f"string {row + 1} {where}")
    name = pitch_words(pitches[0]) if len(pitches) == 1 else name_words(pitches[0].name)
    return f"{name}: {listed(said) or 'not on these frets'}."


def _shape_in_words(strings: tuple[Pitch, ...], shape: Shape) -> str:
    found = shape.fingering
    name = shape.spoken[:1].upper() + shape.spoken[1:]
    if found is None:
        return f"{name}: {shape.note}."
    said = _strings_in_words(strings, found)
    note = f"; {shape.note}" if shape.note else ""
    return f"{name}, from string {len(strings)}: {', '.join(said)}{note}."


def _strings_in_words(strings: tuple[Pitch, ...], found: Fingering) -> list[str]:
    said = []
    for string, fret, name in zip(strings, found.frets, found.names, strict=True):
        place = "muted" if fret is None else "open" if fret == 0 else f"fret {fret}"
        sounds = f" ({name_words(name)})" if name else ""
        said.append(f"{name_words(string.name)} string {place}{sounds}")
    return said
