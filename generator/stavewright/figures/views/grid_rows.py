"""What a rhythm grid shows: its rows, their hits, and where these lie, in numbers and in words."""

from dataclasses import dataclass
from fractions import Fraction

from stavewright.figures.figure import SpokenText
from stavewright.figures.mei.drums import drum_place
from stavewright.figures.spoken.events import voice_words
from stavewright.figures.spoken.places import meter_of, moment_name
from stavewright.figures.spoken.tones import drum_words, listed
from stavewright.figures.timeline import Onset, TempoMap, bar_origin, onsets
from stavewright.figures.views.labels import no_pitch_words
from stavewright.notation.score import Bar, Drum, Score, Voice


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the grid: a voice, or one instrument of a percussion voice."""

    name: str
    hits: tuple[Onset, ...]


def speak(score: Score) -> SpokenText:
    """Every hit that is moved off its place, by row, and how many keep to it."""
    rows = grid_rows(score)
    if not rows:
        return SpokenText(f"Rhythm grid. {no_rhythm_words(score)}", ())
    line = f"Rhythm grid with {listed([row.name for row in rows])}{_moved_words(rows)}."
    swing = swing_words(score)
    first = (f"{swing}.",) if swing else ()
    return SpokenText(line, (*first, *(_row_in_words(score, row) for row in rows)))


def _moved_words(rows: tuple[Row, ...]) -> str:
    """How many hits rush and how many drag: `; 2 hits early, 1 late`."""
    shifts = [hit.shift for row in rows for hit in row.hits if hit.shift]
    early, late = sum(shift < 0 for shift in shifts), sum(shift > 0 for shift in shifts)
    said = [f"{count} {way}" for count, way in ((early, "early"), (late, "late")) if count]
    if not said:
        return ""
    first, rest = said[0].split(" ", 1)
    return "; " + ", ".join([f"{first} {'hit' if first == '1' else 'hits'} {rest}", *said[1:]])


def grid_rows(score: Score) -> tuple[Row, ...]:
    """The rows from the top; none where nothing is written with a note value."""
    rows: dict[tuple[int, int, str], list[Onset]] = {}
    for hit in onsets(score):
        place = next(place for place, v in enumerate(score.voices) if v.name == hit.voice)
        if not hit.duration:
            continue
        row = rows.setdefault((place, *_row_of(score.voices[place], hit)), [])
        # Notes struck together in one row are one hit unless they part.
        # What sounds at once stands together: hits come in the order of their sound.
        for other in reversed(row):
            if other.sounding != hit.sounding:
                row.append(hit)
                break
            if other.written == hit.written:
                break
        else:
            row.append(hit)
    return tuple(Row(name, tuple(hits)) for (_, _, name), hits in sorted(rows.items()))


def _row_of(voice: Voice, hit: Onset) -> tuple[int, str]:
    """A place in the voice and a name: instruments from high to low, as on the staff."""
    sound = hit.head.sound
    if not isinstance(sound, Drum):
        return 0, voice_words(voice)
    return -drum_place(sound, one_line=False).position, drum_words(sound)


def no_rhythm_words(score: Score) -> str:
    """Why there is no rhythm to show, as a sentence."""
    if any(event.heads for voice in score.voices for event in voice.events):
        return "Without note values there is no rhythm."
    return no_pitch_words(score)


def _row_in_words(score: Score, row: Row) -> str:
    moved = [hit for hit in row.hits if hit.shift]
    count = "1 hit" if len(row.hits) == 1 else f"{len(row.hits)} hits"
    name = row.name[:1].upper() + row.name[1:]
    if not moved:
        return f"{name}: {count}, {'as written' if score.swing is None else 'none moved'}."
    said = [f"{position_words(score, hit)}, {shift_words(hit)}" for hit in moved]
    return f"{name}: {count}; {'; '.join(said)}."


def position_words(score: Score, hit: Onset) -> str:
    """Where a hit is written: `bar 2 beat 3`, `bar 2, 1/8 after beat 3`."""
    voice = next(voice for voice in score.voices if voice.name == hit.voice)
    return moment_name(score, voice.events[hit.event].bar, hit.written)


def shift_words(hit: Onset) -> str:
    """How far a hit is moved: `early by 1/48 (52.1 ms)`, `late by 20 ms`."""
    way = "early" if hit.shift < 0 else "late"
    value, gap = shift_value(hit), milliseconds(hit.shift_seconds)
    return f"{way} by {value} ({gap})" if value else f"{way} by {gap}"


def shift_value(hit: Onset) -> str:
    """How far a hit is moved as a part of a whole note; empty where it is said in milliseconds."""
    shift = hit.head.shift
    return str(abs(shift.note_value)) if shift and shift.note_value else ""


def milliseconds(seconds: Fraction) -> str:
    """A time, however it is directed: `52.1 ms`."""
    return f"{float(abs(seconds) * 1000):.1f}".removesuffix(".0") + " ms"


def swing_words(score: Score) -> str:
    """What the swing does, said once; empty where there is none."""
    swing = score.swing
    if swing is None or swing.long == swing.short:
        return ""
    moved = 2 * swing.unit * swing.long / (swing.long + swing.short) - swing.unit
    way = "late" if moved > 0 else "early"
    # In milliseconds it is one number only where the tempo is.
    seconds = TempoMap.of(score).seconds_at(abs(moved))
    gap = "" if score.tempo_changes else f" ({milliseconds(seconds)})"
    ratio = f"{swing.long}:{swing.short}"
    return f"Swing {ratio}: each second {swing.unit} sounds {abs(moved)} {way}{gap}"


def beats_in(score: Score, bar: Bar) -> list[tuple[int, Fraction, Fraction]]:
    """(number, moment, full length) of each beat that begins in a bar; a pickup has the last."""
    origin = bar_origin(score, score.bars.index(bar))
    meter = meter_of(bar)
    numbered = enumerate(zip(meter.beat_starts, meter.beats, strict=True), start=1)
    beats = [(number, origin + start, length) for number, (start, length) in numbered]
    return [beat for beat in beats if bar.start <= beat[1] < bar.start + bar.length]
