"""What theory says of a value that an author wrote, as Markdown; None where it says nothing."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Final

from stavewright.articles.worked.answer import Answer
from stavewright.articles.worked.chord import chord_answer
from stavewright.articles.worked.interval import interval_answer
from stavewright.articles.worked.key import key_answer
from stavewright.articles.worked.note import note_answer
from stavewright.articles.worked.numeral import numeral_answer
from stavewright.articles.worked.scale import scale_answer
from stavewright.editors.words import escaped, of_answer
from stavewright.notation.claim import Between, NumeralIn, Statement, Subject, Values
from stavewright.notation.events import Drum
from stavewright.theory.chord import Chord
from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key
from stavewright.theory.meter import Meter
from stavewright.theory.note_value import NoteValue
from stavewright.theory.numeral import Numeral
from stavewright.theory.pitch import Pitch, PitchName
from stavewright.theory.scale import Scale


def of_key(key: Key) -> str | None:
    """A key: its signature, notes, chords and relations."""
    return _said(lambda: key_answer(str(key)))


def of_scale(scale: Scale) -> str | None:
    """A scale: its notes, degrees and steps."""
    return _said(lambda: scale_answer(str(scale)))


def of_chord(chord: Chord, key: Key | None = None) -> str | None:
    """A chord symbol: its full name and its notes in order, its numeral if a key is in force."""
    return _said(lambda: chord_answer(str(chord), key))


def of_numeral(numeral: Numeral, key: Key | None) -> str | None:
    """A numeral: the chord it means in its key."""
    return None if key is None else _said(lambda: numeral_answer(str(numeral), key))


def of_sound(sound: Pitch | PitchName | Drum, reference: Fraction | None = None) -> str | None:
    """A pitch: its frequency and other names; a drum: its General MIDI name."""
    if isinstance(sound, Drum):
        return f"**{escaped(sound.name)}**\n\n- General MIDI key: {sound.key_number}"
    if isinstance(sound, PitchName):
        return None
    a4 = 440.0 if reference is None else float(reference)
    return _said(lambda: replace(note_answer(str(sound), a4), notes=()))


def value_words(value: Fraction) -> str:
    """A note value: `dotted quarter`; as a fraction where no single note shows it."""
    try:
        return NoteValue.from_length(value).name
    except TheoryError:
        return f"{value} of a whole note"


def of_value(value: Fraction) -> str:
    """A note value: `dotted quarter`."""
    written = f"{value.numerator}/{value.denominator}"
    return f"**{written}**: {value_words(value)}"


def of_meter(meter: Meter) -> str:
    """A meter: how it divides, and its beats."""
    beats = [value_words(beat) for beat in meter.beats]
    counted = f"{len(beats)} × {beats[0]}" if len(set(beats)) == 1 else ", ".join(beats)
    return f"**{escaped(str(meter))}**: {meter.kind.value}\n\n- beats: {counted}"


def of_meaning(meaning: Subject | Statement) -> str | None:
    """One side of a claim."""
    for kind, say in _SAYERS:
        if isinstance(meaning, kind):
            return say(meaning)
    return None


def _said(work_out: Callable[[], Answer]) -> str | None:
    try:
        return of_answer(work_out())
    except TheoryError:
        return None


def _between(between: Between) -> str | None:
    return _said(lambda: interval_answer(f"{between.low} to {between.high}"))


def _values(values: Values) -> str:
    return of_value(values.total)


_SAYERS: Final[tuple[tuple[type, Callable[..., str | None]], ...]] = (
    (Pitch, of_sound),
    (Key, of_key),
    (Scale, of_scale),
    (Chord, of_chord),
    (NumeralIn, lambda both: of_numeral(both.numeral, both.key)),
    (Between, _between),
    (Interval, lambda interval: _said(lambda: interval_answer(interval.name))),
    (Values, _values),
)
