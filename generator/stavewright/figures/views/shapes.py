"""Which chords a fretboard shows, and how each lies under the hand."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction

from stavewright.figures.fingering import Fingering, finger_chord, finger_pitches, rising
from stavewright.figures.mei.ids import head_id
from stavewright.figures.spoken import chord_words, name_words
from stavewright.figures.spoken.tones import listed
from stavewright.figures.stretches import chord_id
from stavewright.figures.views.labels import chord_text
from stavewright.notation.realise import chord_pitches
from stavewright.notation.score import ChordEvent, Event, Score
from stavewright.theory import Chord, Pitch

GUITAR = tuple(Pitch.parse(name) for name in ("E2", "A2", "D3", "G3", "B3", "E4"))
"""The strings of a block that names none: a guitar in its usual tuning (common practice)."""
_FEWEST = 3
"""Notes at once that make a chord."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One chord on the fretboard."""

    title: str
    """The symbol, or a number where the block names none."""
    spoken: str
    fingering: Fingering | None
    """None where no hand can play it."""
    note: str = ""
    """What a reader must know: a tone left out, another bass, why there is no fingering."""
    ids: tuple[str, ...] = field(default=(), compare=False)
    """Of the symbols that it stands for, or of the notes; what the player lights it by."""


def strings_of(score: Score) -> tuple[Pitch, ...]:
    """The open strings, as the block writes them or a guitar's."""
    return score.strings or GUITAR


def asks_for_frets(score: Score) -> bool:
    """Whether the block names a stretch of the neck: `fretboard(5-9)`."""
    return any(view.name == "fretboard" and view.options for view in score.show)


def shapes(score: Score) -> tuple[Shape, ...]:
    """The figure's chords, each shape once; none where it is a melody or a scale."""
    if asks_for_frets(score):
        return ()
    strings = strings_of(score)
    found: dict[Shape, list[str]] = {}
    for index, event in enumerate(score.chords):
        if event.chord is not None:
            shape = _named(strings, event.chord, _written(score, event))
            found.setdefault(shape, []).append(chord_id(index))
    named = tuple(replace(shape, ids=tuple(ids)) for shape, ids in found.items())
    return named or tuple(_unnamed(score, strings))


def _named(strings: tuple[Pitch, ...], chord: Chord, written: tuple[Pitch, ...]) -> Shape:
    """A chord symbol as its notes are written, or in whatever octaves lie well."""
    fingering = finger_pitches(strings, written) if written else finger_chord(strings, chord)
    return _shape(strings, chord_text(chord), chord_words(chord.parts), fingering, written)


def _unnamed(score: Score, strings: tuple[Pitch, ...]) -> Iterator[Shape]:
    chords: dict[tuple[Pitch, ...], list[str]] = {}
    for notes, name in _together(score):
        if len(notes) >= _FEWEST:
            chords.setdefault(notes, []).append(name)
    for number, (notes, ids) in enumerate(chords.items(), start=1):
        fingering = finger_pitches(strings, notes)
        shape = _shape(strings, str(number), f"chord {number}", fingering, notes)
        yield replace(shape, ids=tuple(ids))


def _shape(
    strings: tuple[Pitch, ...],
    title: str,
    spoken: str,
    fingering: Fingering | None,
    written: tuple[Pitch, ...],
) -> Shape:
    if fingering is None:
        lies_between = any(pitch.name.is_microtonal for pitch in written)
        note = "its notes lie between the frets" if lies_between else "no hand can play it here"
        return Shape(title, spoken, None, note)
    notes = []
    if fingering.missing:
        notes.append(f"without {listed([name_words(name) for name in fingering.missing])}")
    if not fingering.has_bass and rising(strings):
        notes.append("with another tone lowest")
    if written and fingering.is_moved:
        notes.append("in other octaves than written")
    return Shape(title, spoken, fingering, ", ".join(notes))


def _written(score: Score, event: ChordEvent) -> tuple[Pitch, ...]:
    """The notes that begin with a symbol; none where they are part of it, or the core's own."""
    notes = _starting(score, event.start)
    if len(notes) < _FEWEST or event.chord is None or notes == chord_pitches(event.chord):
        return ()
    sounding = {pitch.pitch_class for pitch in notes}
    if len(sounding) < _FEWEST:
        return ()
    if any(tone.name.pitch_class not in sounding for tone in event.chord.required):
        return ()
    return notes


def _together(score: Score) -> list[tuple[tuple[Pitch, ...], str]]:
    """The pitches that begin together and the id of one; bare note heads stand each by itself."""
    events = [
        (event, head_id(voice.name, index, 0, len(event.heads)))
        for voice in score.voices
        for index, event in enumerate(voice.events)
        if event.heads
    ]
    if any(event.duration for event, _ in events):
        first: dict[Fraction, str] = {}
        for event, name in events:
            first.setdefault(event.start, name)
        return [(_starting(score, at), name) for at, name in sorted(first.items())]
    return [(_pitches(event), name) for event, name in events]


def _pitches(event: Event) -> tuple[Pitch, ...]:
    return tuple(sorted({head.sound for head in event.heads if isinstance(head.sound, Pitch)}))


def _starting(score: Score, at: Fraction) -> tuple[Pitch, ...]:
    """Every pitch that begins at a moment, from the lowest."""
    here = (event for voice in score.voices for event in voice.events if event.start == at)
    return tuple(sorted({pitch for event in here for pitch in _pitches(event)}))
