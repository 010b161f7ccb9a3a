"""What a rhythm grid shows: its rows, their hits, and where these lie, in numbers and in words."""

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from stavewright.figures.figure import SpokenText
from stavewright.figures.mei.drums import drum_place
from stavewright.figures.mei.ids import head_id
from stavewright.figures.spoken.events import voice_words
from stavewright.figures.spoken.places import moment_name
from stavewright.figures.spoken.tones import drum_words, listed
from stavewright.figures.timeline import Onset, TempoMap, onsets
from stavewright.figures.views.labels import no_pitch_words
from stavewright.notation.score import Drum, Score, Voice


class Kind(Enum):
    """What a mark says; the value is how the key explains it."""

    PLAIN = "on time"
    SWUNG = "on time, or swung"
    EARLY = "early: rushes"
    LATE = "late: drags"
    WRITTEN = "where it is written"


@dataclass(frozen=True, slots=True)
class Hit:
    """One mark of the grid."""

    written: Fraction
    """Whole notes from the beginning of the score."""
    sounding: Fraction
    kind: Kind
    """Never `WRITTEN`. What the player moves is said before what the swing moves."""
    id: str
    """Of its note, as the staff has it."""
    bar: int
    """Index into `Score.bars`."""
    emphasised: bool
    way: str = ""
    """How its player moves it, `early` or `late`; empty where they do not."""
    value: str = ""
    """By how much, as a part of a whole note; empty where it is said in milliseconds."""
    gap: str = ""
    """By how much in milliseconds."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the grid: a voice, or one instrument of a percussion voice."""

    name: str
    hits: tuple[Hit, ...]


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
    ways = [hit.way for row in rows for hit in row.hits]
    counts = [(ways.count(way), way) for way in ("early", "late")]
    said = [f"{count} {way}" for count, way in counts if count]
    if not said:
        return ""
    first, rest = said[0].split(" ", 1)
    return "; " + ", ".join([f"{first} {'hit' if first == '1' else 'hits'} {rest}", *said[1:]])


def grid_rows(score: Score) -> tuple[Row, ...]:
    """The rows from the top; none where nothing is written with a note value."""
    rows: dict[tuple[int, int, str], list[Onset]] = {}
    places = {voice.name: place for place, voice in reversed([*enumerate(score.voices)])}
    for hit in onsets(score):
        if not hit.duration:
            continue
        place = places[hit.voice]
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
    return tuple(
        Row(name, tuple(_hit(score.voices[place], onset) for onset in found))
        for (place, _, name), found in sorted(rows.items())
    )


def _hit(voice: Voice, onset: Onset) -> Hit:
    event = voice.events[onset.event]
    heads = event.heads
    name = head_id(voice.name, onset.event, heads.index(onset.head), len(heads))
    about = (name, event.bar, onset.head.emphasised)
    written, sounding, shift = onset.written, onset.sounding, onset.shift
    if not shift:
        kind = Kind.SWUNG if sounding != written else Kind.PLAIN
        return Hit(written, sounding, kind, *about)
    kind, way = (Kind.EARLY, "early") if shift < 0 else (Kind.LATE, "late")
    said = onset.head.shift
    value = str(abs(said.note_value)) if said and said.note_value else ""
    gap = _milliseconds(onset.shift_seconds)
    return Hit(written, sounding, kind, *about, way, value, gap)


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
    moved = [hit for hit in row.hits if hit.way]
    count = "1 hit" if len(row.hits) == 1 else f"{len(row.hits)} hits"
    name = row.name[:1].upper() + row.name[1:]
    if not moved:
        return f"{name}: {count}, {'as written' if score.swing is None else 'none moved'}."
    said = [f"{moment_name(score, hit.bar, hit.written)}, {shift_words(hit)}" for hit in moved]
    return f"{name}: {count}; {'; '.join(said)}."


def shift_words(hit: Hit) -> str:
    """How far a hit is moved: `early by 1/48 (52.1 ms)`, `late by 20 ms`."""
    return f"{hit.way} by {hit.value} ({hit.gap})" if hit.value else f"{hit.way} by {hit.gap}"


def _milliseconds(seconds: Fraction) -> str:
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
    gap = ""
    if not score.tempo_changes:
        gap = f" ({_milliseconds(TempoMap.of(score).seconds_at(abs(moved)))})"
    ratio = f"{swing.long}:{swing.short}"
    return f"Swing {ratio}: each second {swing.unit} sounds {abs(moved)} {way}{gap}"
