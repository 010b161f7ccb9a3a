"""The table of a scale: degree, note, interval from the tonic, step to the next, chords on each."""

import re
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from stavewright.figures.spoken.symbols import chord_words
from stavewright.figures.spoken.tones import name_words
from stavewright.figures.views.labels import chord_text, name_text
from stavewright.figures.views.table_rows import Table, TableRow
from stavewright.notation.score import Score
from stavewright.theory import Chord, Interval, Pitch, PitchName, Scale
from stavewright.theory.scale_kinds import SCALE_KINDS, degree_text

_TRIADS: Final = ("", "m", "dim", "aug")
_SEVENTHS: Final = (
    *("maj7", "7", "m7", "m7b5", "dim7", "mMaj7", "maj7#5", "7#5", "dimMaj7", "7b5", "maj7b5"),
)
_STEPS: Final = {
    50: "quarter step",
    100: "half step",
    150: "three quarters of a whole step",
    200: "whole step",
    300: "step and a half",
    400: "two whole steps",
}
_SEVEN: Final = 7


def scale_table(score: Score) -> Table | None:
    """The block's scale, or that of its key; None where it names neither."""
    scale = score.scale or _of_key(score)
    if scale is None:
        return None
    triads, sevenths = _stacked(scale, _TRIADS, 3), _stacked(scale, _SEVENTHS, 4)
    has_chords = bool(triads)
    headings: tuple[str, ...] = ("Degree", "Note", "From the tonic", "To the next")
    if has_chords:
        headings = (*headings, "Triad", "Seventh chord")
    rows = []
    for index, (name, interval, step) in enumerate(_degrees(scale)):
        chords = (triads[index], sevenths[index]) if has_chords else ()
        ids = _keys_of(score, name)
        rows.append(_row(scale, name, interval, step, chords, ids))
    in_cents = scale.name.startswith("steps")
    kind = scale.name.replace("steps", "in steps of") + " cents" if in_cents else scale.name
    title = f"{name_text(scale.tonic)} {kind}"
    way = ", on its way up" if scale.falling != scale.intervals else ""
    spoken = f"{name_words(scale.tonic)} {_said(kind)}{way}"
    return Table(_signs(title) + way, spoken, headings, tuple(rows))


def _of_key(score: Score) -> Scale | None:
    if score.key is None or score.key.mode.value not in {kind.name for kind in SCALE_KINDS}:
        return None
    return Scale.parse(f"{score.key.tonic.spelled} {score.key.mode.value}")


def _degrees(scale: Scale) -> list[tuple[PitchName, Interval, int]]:
    """(name, interval from the tonic, cents to the next) of every degree."""
    heights = (*scale.intervals, scale.closing)
    return [
        (scale.tonic + here, here, after.cents - here.cents) for here, after in pairwise(heights)
    ]


def _stacked(scale: Scale, suffixes: Sequence[str], count: int) -> list[Chord | None]:
    """The chord of stacked thirds on each degree of seven; none where it has no symbol."""
    names = scale.names
    if len(names) != _SEVEN or any(name.is_microtonal for name in names):
        return []
    found: list[Chord | None] = []
    for index, root in enumerate(names):
        wanted = tuple(names[(index + 2 * place) % _SEVEN] for place in range(count))
        chords = (Chord.on(root, text) for text in suffixes)
        found.append(next((chord for chord in chords if chord.names == wanted), None))
    return found if any(found) else []


def _row(
    scale: Scale,
    name: PitchName,
    interval: Interval,
    step: int,
    chords: tuple[Chord | None, ...],
    ids: tuple[str, ...],
) -> TableRow:
    degree = _degree(scale, interval)
    from_tonic = interval.name if interval.cents else "tonic"
    to_next = _STEPS.get(step, f"{step} cents")
    if name.is_microtonal or scale.name.startswith("steps"):
        from_tonic += f" ({interval.cents}\u00a0¢)"
    shown = ("–" if chord is None else chord_text(chord) for chord in chords)
    cells = (degree, name_text(name), from_tonic, to_next, *shown)
    said = [chord_words(chord.parts) for chord in chords if chord is not None]
    built = f"; on it {' and '.join(said)}" if said else ""
    where = from_tonic.replace("(", "at ").replace("\u00a0¢)", " cents")
    sentence = f"{name_words(name)}: {where}, {to_next} to the next{built}."
    return TableRow(cells, sentence, ids, "key")


def _degree(scale: Scale, interval: Interval) -> str:
    """Its number; a sign says how it differs from the major scale.

    A scale in cents is measured against no other scale, so its degrees are only counted.
    """
    if scale.name.startswith("steps"):
        return str(interval.number)
    # Cents stand beside the name.
    return _signs(degree_text(interval).split("(")[0])


def _signs(text: str) -> str:
    """Accidentals before a number as signs: `♭3`, `lydian ♯2`."""
    signs = {"b": "♭", "bb": "𝄫", "#": "♯", "##": "𝄪"}
    return re.sub(r"(?<![a-z])(bb|b|##|#)(?=\d)", lambda found: signs[found[1]], text)


def _said(name: str) -> str:
    """The same in words: `lydian sharp 2`."""
    return re.sub(r"(?<![a-z])(b|#)(?=\d)", lambda f: "flat " if f[1] == "b" else "sharp ", name)


def _keys_of(score: Score, name: PitchName) -> tuple[str, ...]:
    """Every key that sounds this note, in any octave."""
    found = {
        head.sound.key_number
        for voice in score.voices
        for event in voice.events
        for head in event.heads
        if isinstance(head.sound, Pitch) and head.sound.name == name
    }
    return tuple(f"{number:g}" for number in sorted(found))
