"""Plants wrong labels: quality, case, inversion; wrong keys; wrong lengths of bars."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from stavewright.notation.score import NumeralEvent
from stavewright.theory import Chord, Key, Mode, Numeral, TheoryError
from tests.benchmarks.planting import Kind, Mistake, Place, changed, words_at
from tests.benchmarks.under_labels import Music, Struck, chord_of, is_stepwise

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stavewright.theory.pitch import PitchName
    from tests.benchmarks.under_labels import Label

_QUALITIES = {
    "": "m",
    "m": "",
    "7": "maj7",
    "maj7": "7",
    "m7": "7",
    "m7b5": "m7",
    "dim": "m",
    "dim7": "m7b5",
    "6": "m6",
    "m6": "6",
    "9": "m9",
    "aug": "",
    "sus4": "",
    "7sus4": "7",
}
_FIGURES = {
    "": ("6", "64"),
    "6": ("", "64"),
    "64": ("6",),
    "7": ("65", "42"),
    "65": ("7", "43"),
    "43": ("65", "42"),
    "42": ("43", "7"),
    "2": ("43", "7"),
}
_NUMERAL = re.compile(r"(?P<roman>[b#]*[IViv]+)(?P<sign>[oø+]?)(?P<figures>[0-9]*)(?P<rest>.*)")
_HALF = Fraction(1, 2)
_QUARTER = Fraction(1, 4)


def plant_labels(music: Music, source: str) -> Iterator[Mistake]:
    labels: list[Label] = [*music.score.chords, *music.score.numerals]
    for label in labels:
        chord = chord_of(label)
        if label.span is None or chord is None or not music.under(label):
            continue
        written = words_at(music.text, label.span)
        if written != label.text:
            continue
        for kind, other in _other_labels(label, chord, written):
            text, place = changed(music.text, label.span, other)
            reason = _not_told(kind, music, label, chord, other)
            yield Mistake(kind, source, text, music.text, place, written, other, reason)


def _other_labels(label: Label, chord: Chord, written: str) -> Iterator[tuple[Kind, str]]:
    if isinstance(label, NumeralEvent):
        match = _NUMERAL.fullmatch(written)
        if match is None:
            return
        roman, sign, figures, rest = match.groups()
        if not sign:
            yield Kind.CASE, roman.swapcase().replace("B", "b") + figures + rest
        for other in _FIGURES.get(figures, ()):
            if not (sign == "ø" and other in ("", "6", "64")):
                yield Kind.INVERSION, roman + sign + other + rest
        return
    if chord.root is None or chord.suffix not in _QUALITIES or chord.upper is not None:
        return
    bass = chord.bass if chord.bass != chord.root else None
    try:
        yield Kind.QUALITY, Chord.on(chord.root, _QUALITIES[chord.suffix], bass).symbol
        tones = [tone.name for tone in chord.tones if tone.name != chord.bass]
        yield Kind.INVERSION, chord.over(tones[0]).symbol
    except TheoryError:
        return


def _not_told(kind: Kind, music: Music, label: Label, chord: Chord, other: str) -> str | None:
    wrong = _wrong_chord(label, other)
    if wrong is None:
        return None
    if kind is Kind.INVERSION:
        return _inversion_not_told(music, label, wrong)
    missed = [name for name in chord.names if name not in (*wrong.names, wrong.bass)]
    if not missed:
        return "the other chord has the same tones and one more"
    sounding = [note for note in music.under(label) if note.pitch.name in missed]
    if not sounding:
        return "the tone in which the two differ does not sound"
    if all(_is_touched(music, note, label) for note in sounding):
        return "the tone in which the two differ is touched in passing"
    if music.most_at_once(label) < 2:
        long = [n for n in sounding if n.share(label.start, label.end) >= _HALF]
        plain = [n for n in long if not _passes(music, n)]
        return None if plain else "a tune alone, which touches the tone in passing"
    heard = sum((note.share(label.start, label.end) for note in sounding), Fraction(0))
    return None if heard >= _QUARTER else "the tone in which the two differ is touched in passing"


def _is_touched(music: Music, note: Struck, label: Label) -> bool:
    """Whether a note passes by step and is short, or the label is shorter than a quarter; in one
    or two voices also whether it fills no more than a quarter of the label."""
    share = note.share(label.start, label.end)
    if music.most_at_once(label) < 3 and share <= _QUARTER:
        return True
    return (share < _HALF or label.duration < _QUARTER) and _passes(music, note)


def _passes(music: Music, note: Struck) -> bool:
    """Whether a note is reached and left by step."""
    before, after = music.neighbours(note)
    near = [any(is_stepwise(note.pitch, pitch) for pitch in side) for side in (before, after)]
    return all(near)


def _wrong_chord(label: Label, other: str) -> Chord | None:
    """The chord that the wrong label names; None where it is no label at all."""
    try:
        if not isinstance(label, NumeralEvent):
            return Chord.parse(other)
        return Numeral.parse(other).chord(label.key) if label.key is not None else None
    except TheoryError:
        return None


def _inversion_not_told(music: Music, label: Label, wrong: Chord) -> str | None:
    if music.most_at_once(label) < 3:
        return "fewer than three notes sound at once"
    if any(note.pitch.name == wrong.bass for note in music.lowest(label)):
        return "the bass moves through that tone under the label"
    if not isinstance(label, NumeralEvent) and music.lowest_first(label).start < label.start:
        return "the bass is held from the chord symbol before"
    return None


def plant_keys(music: Music, source: str) -> Iterator[Mistake]:
    key, span = music.score.key, music.score.field_span("key")
    if key is None or span is None or not music.notes or key.signature is None:
        return
    for other in _other_keys(key):
        text, place = changed(music.text, span, str(other))
        reason = _key_not_told(music, key, other)
        yield Mistake(
            Kind.KEY,
            source,
            text,
            music.text,
            place,
            words_at(music.text, span),
            str(other),
            reason,
        )


def _other_keys(key: Key) -> Iterator[Key]:
    """The parallel key, the relative, and those a fifth up and down."""
    if key.mode.value not in ("major", "minor"):
        return
    for relation in ("parallel", "relative", "dominant", "subdominant"):
        try:
            yield key.related(relation)
        except TheoryError:
            continue


def _key_not_told(music: Music, key: Key, other: Key) -> str | None:
    if _numerals_follow(music):
        return "the numerals name the same chords in both keys" if _same(music, other) else None
    if other.signature == key.signature:
        return "the notes are the same: only the ear finds the tonic"
    if len(music.notes) < 12:
        return "fewer than twelve notes fit many keys"
    if music.score.key_changes:
        return "the key changes on the way"
    if _is_chromatic(music, key):
        return "the music is chromatic: it uses many notes outside its own key"
    differing = [name for name in key.names if name not in _home(other)]
    plain = [_never_but(music, name) for name in differing]
    if not any(plain):
        return "the notes have both forms of a degree, or hardly use it"
    last = max(music.notes, key=lambda note: (note.end, -note.pitch.cents))
    if last.pitch.name != key.tonic:
        return "the music does not end on its tonic"
    return None


def _home(key: Key) -> tuple[PitchName, ...]:
    """The notes of a key, in minor with the raised sixth and seventh."""
    raised = key.related("parallel").names[5:] if key.mode is Mode.MINOR else ()
    return (*key.names, *raised)


def _is_chromatic(music: Music, key: Key) -> bool:
    """Whether more than a twentieth of the notes lies outside the key."""
    away = [note for note in music.notes if note.pitch.name not in _home(key)]
    return 20 * len(away) > len(music.notes)


def _same(music: Music, other: Key) -> bool:
    """Whether every numeral has a reading in the other key that is one of its readings in this."""
    for event in music.score.numerals:
        if event.numeral is None or event.key != music.score.key or event.key is None:
            continue
        try:
            readings = set(event.numeral.readings(other))
        except TheoryError:
            return False
        if not readings & set(event.numeral.readings(event.key)):
            return False
    return True


def _numerals_follow(music: Music) -> bool:
    """Whether numerals are read in the key of the block."""
    key = music.score.key
    first = next((event for event in music.score.numerals if event.numeral is not None), None)
    return first is not None and first.key == key


def _never_but(music: Music, name: PitchName) -> bool:
    """Whether a letter comes three times or more, and always in this form."""
    found = [n.pitch.name for n in music.notes if n.pitch.letter is name.letter]
    return len(found) >= 3 and set(found) == {name}


_VALUE = re.compile(r"(?<=\s)(\d+)/(\d+)(?=\s)")


def plant_bars(music: Music, source: str) -> Iterator[Mistake]:
    """Another note value, for the notes up to the next value or bar sign; or a note too few."""
    if music.score.meter is None or music.score.pickup is not None:
        return
    voices = {voice.name for voice in music.score.voices}
    for number, line in enumerate(music.text.split("\n"), 1):
        word = line.partition(":")[0]
        if word not in voices or "(" in line:
            continue
        for match in _VALUE.finditer(line):
            follows = line[match.end() :].split("|")[0].split()
            if not follows or follows == ["rest"]:
                continue
            value = Fraction(match[0])
            for other in (value / 2, value * 2):
                place = Place(number, match.start() + 1, match.end() + 1)
                new = f"{other.numerator}/{other.denominator}"
                text, there = changed(music.text, place, new)
                there = Place(number, match.start() + 1, len(line) + 3)
                yield Mistake(Kind.BAR, source, text, music.text, there, match[0], new)
