"""Puts the lines of a block together: rows, the grid of bars, and the Score."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from stavewright.notation.bars import Rows, lay_out
from stavewright.notation.bass_figures_line import resolve_figures
from stavewright.notation.clefs import PERCUSSION
from stavewright.notation.fields import Fields
from stavewright.notation.lexer import (
    BASS_FIGURES,
    CHORDS,
    NUMERALS,
    Dialect,
    read_items,
    voice_dialect,
)
from stavewright.notation.lines import Line
from stavewright.notation.pace import Pace
from stavewright.notation.report import Report
from stavewright.notation.resolve_changes import Changes, PlacedChange, placed, resolve_changes
from stavewright.notation.resolve_symbols import resolve_chords, resolve_numerals
from stavewright.notation.resolve_voices import resolve_events, resolve_voice_bars
from stavewright.notation.row import Row
from stavewright.notation.score import (
    Bar,
    BassFigureEvent,
    ChordEvent,
    NumeralEvent,
    Score,
    Staff,
    Voice,
    VoiceBar,
    Words,
)
from stavewright.notation.sharing import symbol_bars
from stavewright.notation.sounds import instrument_of
from stavewright.notation.source import Span
from stavewright.notation.staves_field import read_transposes
from stavewright.notation.symbol_row import build_symbols
from stavewright.notation.verses import read_verses
from stavewright.notation.voice_row import build_voice
from stavewright.notation.written import ClefSign, Item, KeySign, MeterSign
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key


@dataclass(slots=True)
class _VoiceDraft:
    """A voice before the bars are laid out."""

    name: str
    staff: int
    lines: list[Line]
    row: Row = field(default_factory=Row)


@dataclass(frozen=True, slots=True)
class _Music:
    """What sounds, and the rows that it comes from."""

    rows: Rows
    bars: tuple[Bar, ...]
    voices: tuple[Voice, ...]
    changes: Changes


@dataclass(frozen=True, slots=True)
class _Said:
    """What is said about the voices."""

    chords: tuple[ChordEvent, ...]
    numerals: tuple[NumeralEvent, ...]
    words: tuple[Words, ...]
    bass_figures: tuple[BassFigureEvent, ...]
    bass_figure_bars: tuple[VoiceBar, ...]


def assemble(
    fields: Fields, staves: tuple[Staff, ...], lines: Sequence[Line], fence: Span, report: Report
) -> Score:
    """Build the Score from the fields and the timed lines, whose words are all known."""
    staves = _with_clef(fields, staves, report)
    by_word: dict[str, list[Line]] = {}
    for line in lines:
        _check_line(line, report)
        by_word.setdefault(line.word, []).append(line)
    drafts = [
        _VoiceDraft(name, index, by_word.get(name, []))
        for index, staff in enumerate(staves)
        for name in staff.voices
    ]
    rows = _rows(fields, staves, drafts, by_word, report)
    bars = lay_out(rows, fields.meter, fields.pickup, report)
    _check_pickup(fields, report)
    changes = _changes(rows, drafts, bars, report)
    names = [draft.name for draft in drafts]
    transposed = read_transposes(fields.transposes, names, report) if fields.transposes else {}
    pace = Pace(fields.tempo, changes.tempos)
    voices = tuple(_voice(draft, bars, pace, transposed, report) for draft in drafts)
    music = _Music(rows, bars, voices, changes)
    return _score(fields, staves, music, _said(music, fields.key, by_word, report), fence)


def _with_clef(fields: Fields, staves: tuple[Staff, ...], report: Report) -> tuple[Staff, ...]:
    """Put the clef of the field `clef` on the one staff that is not declared."""
    if fields.clef is None:
        return staves
    if fields.has_staves:
        span = next(span for word, span in fields.spans if word == "clef")
        report.add(span, "The clefs of this block stand in `staves`, each with its voices")
        return staves
    return tuple(
        Staff(fields.clef, staff.voices, staff.declared) if staff.voices == ("notes",) else staff
        for staff in staves
    )


def _check_line(line: Line, report: Report) -> None:
    if line.argument is not None and line.word != "words":
        message = f"{line.word!r} takes nothing in parentheses"
        report.add(line.argument.whole, message, None)
    if not line.value.text.strip():
        report.add(line.word_span, f"The line {line.word!r} says nothing")


def _items(lines: Iterable[Line], dialect: Dialect, report: Report) -> list[Item]:
    return [item for line in lines for item in read_items(line.value, dialect, report)]


def _rows(
    fields: Fields,
    staves: tuple[Staff, ...],
    drafts: Sequence[_VoiceDraft],
    by_word: Mapping[str, Sequence[Line]],
    report: Report,
) -> Rows:
    """Build the rows of voices, chords and numerals."""
    dialects = [voice_dialect(instrument_of(d.name, staves[d.staff].clef)) for d in drafts]
    voices = [_items(d.lines, dialect, report) for d, dialect in zip(drafts, dialects, strict=True)]
    chords = _items(by_word.get("chords", ()), CHORDS, report)
    numerals = _items(by_word.get("numerals", ()), NUMERALS, report)
    signs = (item for items in (*voices, chords, numerals) for item in items)
    measured = fields.has_meter or any(isinstance(item, MeterSign) for item in signs)
    # What to assume where no value is said: the unit that the metre counts.
    default = Fraction(1, fields.meter.unit) if fields.meter else Fraction(1, 4)
    for draft, items in zip(drafts, voices, strict=True):
        draft.row = build_voice(items, report, measured=measured, default=default)
        _refuse_changes(draft.row, staves[draft.staff], report)
    return Rows(
        [draft.row for draft in drafts],
        build_symbols(chords, report) if chords else None,
        build_symbols(numerals, report) if numerals else None,
    )


def _refuse_changes(row: Row, staff: Staff, report: Report) -> None:
    """Note the changes that cannot stand in a voice of this staff."""
    percussion = staff.clef == PERCUSSION
    for sign in (change.change for bar in row.bars for change in bar.changes):
        if isinstance(sign, KeySign) and sign.pivot is not None:
            report.add(sign.span, "A pivot is written among the numerals")
        elif isinstance(sign, ClefSign) and (sign.clef == PERCUSSION) is not percussion:
            message = "Drums and notes with pitches each stand on a staff of their own"
            report.add(sign.span, message)


def _check_pickup(fields: Fields, report: Report) -> None:
    if fields.pickup is None or fields.meter is None or fields.pickup < fields.meter.length:
        return
    span = next(span for word, span in fields.spans if word == "pickup")
    report.add(span, f"A pickup is shorter than a bar of {fields.meter}")


def _changes(
    rows: Rows, drafts: Sequence[_VoiceDraft], bars: tuple[Bar, ...], report: Report
) -> Changes:
    """Find all changes."""
    found: list[PlacedChange] = []
    for draft in drafts:
        found += placed(draft.row, bars, draft.staff)
    if rows.chords:
        found += placed(rows.chords, bars, None)
    if rows.numerals:
        own = placed(rows.numerals, bars, None)
        found += [each for each in own if not isinstance(each.change, KeySign)]
    return resolve_changes(found, report)


def _voice(
    draft: _VoiceDraft,
    bars: tuple[Bar, ...],
    pace: Pace,
    transposed: Mapping[str, Interval],
    report: Report,
) -> Voice:
    return Voice(
        draft.name,
        draft.staff,
        resolve_events(draft.row, bars, pace, report),
        resolve_voice_bars(draft.row, bars),
        tuple(draft.row.tuplets),
        tuple(draft.row.slurs),
        transposed.get(draft.name),
        draft.lines[0].word_span if draft.lines else None,
    )


def _said(
    music: _Music, key: Key | None, by_word: Mapping[str, list[Line]], report: Report
) -> _Said:
    """Read what is said about the voices: chords, numerals, words, figured bass."""
    rows, bars = music.rows, music.bars
    figures = build_symbols(_items(by_word.get("bass-figures", ()), BASS_FIGURES, report), report)
    bass = music.voices[-1] if music.voices else None
    bass_figures, figure_bars = (
        resolve_figures(figures, bars, bass, report) if figures.bars else ((), ())
    )
    return _Said(
        resolve_chords(rows.chords, bars) if rows.chords else (),
        resolve_numerals(rows.numerals, bars, key, music.changes, report) if rows.numerals else (),
        read_verses(by_word.get("words", []), music.voices, report),
        bass_figures,
        figure_bars,
    )


def _score(
    fields: Fields, staves: tuple[Staff, ...], music: _Music, said: _Said, fence: Span
) -> Score:
    rows, bars, changes = music.rows, music.bars, music.changes
    return Score(
        title=fields.title,
        caption=fields.caption,
        style=fields.style,
        rights=fields.rights,
        sources=tuple(fields.sources),
        credits=tuple(fields.credits),
        key=fields.key,
        meter=fields.meter,
        tempo=fields.tempo,
        swing=fields.swing,
        pickup=fields.pickup,
        tuning=fields.tuning,
        strings=fields.strings,
        scale=fields.scale,
        clef=None if fields.has_staves else fields.clef,
        show=fields.show,
        accepts=tuple(fields.accepts),
        staves=staves,
        voices=music.voices,
        bars=bars,
        key_changes=changes.keys,
        meter_changes=changes.meters,
        tempo_changes=changes.tempos,
        clef_changes=changes.clefs,
        chords=said.chords,
        numerals=said.numerals,
        chord_bars=symbol_bars(rows.chords, bars, gaps_count=False) if rows.chords else (),
        numeral_bars=symbol_bars(rows.numerals, bars, gaps_count=True) if rows.numerals else (),
        words=said.words,
        bass_figures=said.bass_figures,
        bass_figure_bars=said.bass_figure_bars,
        span=fence,
        field_spans=tuple(fields.spans),
    )
