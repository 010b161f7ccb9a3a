"""Which chords a fretboard shows, and how each lies under the hand."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from stavewright.figures.fingering import Fingering, finger_chord, finger_pitches, rising
from stavewright.figures.spoken import chord_words, name_words
from stavewright.figures.spoken.tones import listed
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
    found = dict.fromkeys(
        _named(strings, event.chord, _written(score, event))
        for event in score.chords
        if event.chord is not None
    )
    return tuple(found) or tuple(_unnamed(score, strings))


def _named(strings: tuple[Pitch, ...], chord: Chord, written: tuple[Pitch, ...]) -> Shape:
    """A chord symbol as its notes are written, or in whatever octaves lie well."""
    fingering = finger_pitches(strings, written) if written else finger_chord(strings, chord)
    return _shape(strings, chord_text(chord), chord_words(chord.parts), fingering, written)


def _unnamed(score: Score, strings: tuple[Pitch, ...]) -> Iterator[Shape]:
    chords = dict.fromkeys(notes for notes in _together(score) if len(notes) >= _FEWEST)
    for number, notes in enumerate(chords, start=1):
        fingering = finger_pitches(strings, notes)
        yield _shape(strings, str(number), f"chord {number}", fingering, notes)


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
    """The notes that begin with a symbol; none where they are too few or the theory core's own."""
    notes = _starting(score, event.start)
    if len(notes) < _FEWEST or event.chord is None or notes == chord_pitches(event.chord):
        return ()
    return notes


def _together(score: Score) -> list[tuple[Pitch, ...]]:
    """The pitches that begin together, moment by moment; bare note heads stand each by itself."""
    events = [event for voice in score.voices for event in voice.events]
    if any(event.duration for event in events):
        return [_starting(score, at) for at in sorted({event.start for event in events})]
    return [_pitches(event) for event in events]


def _pitches(event: Event) -> tuple[Pitch, ...]:
    return tuple(sorted({head.sound for head in event.heads if isinstance(head.sound, Pitch)}))


def _starting(score: Score, at: Fraction) -> tuple[Pitch, ...]:
    """Every pitch that begins at a moment, from the lowest."""
    here = (event for voice in score.voices for event in voice.events if event.start == at)
    return tuple(sorted({pitch for event in here for pitch in _pitches(event)}))
