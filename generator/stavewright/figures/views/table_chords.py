"""The table of a figure's chords: symbol, numeral, notes, and intervals from the root."""

from collections.abc import Iterator
from dataclasses import dataclass

from stavewright.figures.mei.symbols import numeral_runs
from stavewright.figures.spoken.symbols import chord_words, numeral_words
from stavewright.figures.spoken.tones import key_words, listed, name_words
from stavewright.figures.stretches import chord_id, numeral_id
from stavewright.figures.views.labels import chord_text, key_text, name_text
from stavewright.figures.views.table_rows import Table, TableRow
from stavewright.notation.score import NumeralEvent, Score
from stavewright.theory import Chord, Key, Numeral, TheoryError, numeral_for


@dataclass(frozen=True, slots=True)
class _Named:
    """A chord as one row tells it."""

    chord: Chord
    numeral: Numeral | None
    key: Key | None


def chord_table(score: Score) -> Table | None:
    """Each different chord once, in the order they come; None where none is named."""
    rows: dict[_Named, list[str]] = {}
    for named, name in _of_symbols(score) if score.chords else _of_numerals(score):
        rows.setdefault(named, []).append(name)
    if not rows:
        return None
    keys = dict.fromkeys(named.key for named in rows if named.key)
    has_numerals = any(named.numeral for named in rows)
    headings = ("Chord", *(("Numeral",) if has_numerals else ()), "Notes", "From the root")
    many = len(keys) > 1
    found = tuple(
        _row(named, tuple(ids), has_numerals=has_numerals, tells_key=many)
        for named, ids in rows.items()
    )
    if not has_numerals or not keys:
        return Table("Chords", "chords", headings, found)
    written = listed([key_text(key) for key in keys])
    spoken = listed([key_words(key) for key in keys])
    return Table(f"Chords in {written}", f"chords in {spoken}", headings, found)


def _of_symbols(score: Score) -> Iterator[tuple[_Named, str]]:
    """The symbols, with the numeral that the author writes under them or the one the key gives."""
    for index, event in enumerate(score.chords):
        if event.chord is None:
            continue
        below = next((n for n in score.numerals if n.start <= event.start < n.end), None)
        if below is not None and below.numeral is not None and below.key is not None:
            named = _Named(event.chord, below.numeral, below.key)
        else:
            key = score.key_at(event.start)
            named = _Named(event.chord, numeral_for(event.chord, key) if key else None, key)
        yield named, chord_id(index)


def _of_numerals(score: Score) -> Iterator[tuple[_Named, str]]:
    for index, event in enumerate(score.numerals):
        chord = _chord(event)
        if chord is not None:
            yield _Named(chord, event.numeral, event.key), numeral_id(index)


def _chord(event: NumeralEvent) -> Chord | None:
    if event.numeral is None or event.key is None:
        return None
    try:
        return event.numeral.chord(event.key)
    except TheoryError:
        return None


def _row(named: _Named, ids: tuple[str, ...], *, has_numerals: bool, tells_key: bool) -> TableRow:
    chord, numeral = named.chord, named.numeral
    symbol = chord_text(chord) if chord.root else "–"
    cells = [symbol]
    said = [chord_words(chord.parts) if chord.root else ""]
    if has_numerals:
        where = f" in {key_text(named.key)}" if tells_key and named.key else ""
        cells.append(f"{numeral_text(numeral)}{where}" if numeral else "–")
        where = f" in {key_words(named.key)}" if tells_key and named.key else ""
        said.append(f"{numeral_words(numeral.parts)}{where}" if numeral else "")
    cells.append(" ".join(name_text(name) for name in chord.names) + _bass_text(chord))
    cells.append(", ".join(_interval_words(chord)))
    tones = [
        f"{name_words(tone.name)} {interval}"
        for tone, interval in zip(chord.tones, _interval_words(chord), strict=True)
    ]
    opening = ", ".join(part for part in said if part)
    bass = f"; {name_words(chord.bass)} lowest" if _bass_text(chord) else ""
    sentence = f"{opening}: {listed(tones)}{bass}."
    return TableRow(tuple(cells), sentence[:1].upper() + sentence[1:], ids)


def numeral_text(numeral: Numeral) -> str:
    """A numeral on one line."""
    return "".join(run.text for run in numeral_runs(numeral.parts))


def _interval_words(chord: Chord) -> list[str]:
    """Each tone from the root; an augmented sixth, whose root is disputed, from its bass."""
    first = "root" if chord.root else "bass"
    return [tone.interval.name if tone.interval.cents else first for tone in chord.tones]


def _bass_text(chord: Chord) -> str:
    lowest = chord.root or chord.bass
    return f", {name_text(chord.bass)} lowest" if chord.bass != lowest else ""
