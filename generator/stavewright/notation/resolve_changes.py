"""Places the changes of key, metre, tempo and clef that rows hold, and sees that they agree."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from stavewright.notation.report import Report
from stavewright.notation.row import Row
from stavewright.notation.score import (
    Bar,
    ClefChange,
    KeyChange,
    MeterChange,
    TempoChange,
)
from stavewright.notation.source import Span
from stavewright.notation.values import show_tempo
from stavewright.notation.written import Change, ClefSign, KeySign, MeterSign, TempoSign


@dataclass(slots=True)
class Changes:
    """All changes, in order of time."""

    keys: tuple[KeyChange, ...] = ()
    meters: tuple[MeterChange, ...] = ()
    tempos: tuple[TempoChange, ...] = ()
    clefs: tuple[ClefChange, ...] = ()


@dataclass(slots=True)
class PlacedChange:
    """A change and when it stands."""

    at: Fraction
    change: Change
    staff: int | None
    """The staff of the voice that holds it; None for a line of symbols."""


def placed(row: Row, bars: tuple[Bar, ...], staff: int | None) -> list[PlacedChange]:
    """Find when the changes of a row stand."""
    return [
        PlacedChange(
            bars[index].start + row.offset_of(index, change.index, bars[index].length),
            change.change,
            staff,
        )
        for index, bar in enumerate(row.bars)
        for change in bar.changes
    ]


def resolve_changes(found: Iterable[PlacedChange], report: Report) -> Changes:
    """Sort changes by kind; two at one moment must agree, and count once."""
    agreed: dict[tuple[str, Fraction, int | None], PlacedChange] = {}
    for each in found:
        kind, text = _shown(each.change)
        staff = each.staff if isinstance(each.change, ClefSign) else None
        first = agreed.setdefault((kind, each.at, staff), each)
        if _meaning(first.change) != _meaning(each.change):
            other = _shown(first.change)[1]
            message = f"Here stands {text}, and {other} at the same moment"
            report.add(each.change.span, message, other)
    ordered = sorted(agreed.values(), key=lambda each: (each.at, each.staff or 0))
    return Changes(
        tuple(
            KeyChange(each.at, each.change.key, _span(each))
            for each in ordered
            if isinstance(each.change, KeySign)
        ),
        tuple(
            MeterChange(each.at, each.change.meter, _span(each))
            for each in ordered
            if isinstance(each.change, MeterSign)
        ),
        tuple(
            TempoChange(each.at, each.change.tempo, _span(each))
            for each in ordered
            if isinstance(each.change, TempoSign)
        ),
        tuple(
            ClefChange(each.at, each.staff or 0, each.change.clef, _span(each))
            for each in ordered
            if isinstance(each.change, ClefSign)
        ),
    )


def _span(each: PlacedChange) -> Span:
    return each.change.span


def _meaning(change: Change) -> object:
    match change:
        case KeySign():
            return change.key
        case MeterSign():
            return change.meter
        case TempoSign():
            return change.tempo
        case ClefSign():
            return change.clef


def _shown(change: Change) -> tuple[str, str]:
    """The kind of a change, and how it is written."""
    match change:
        case KeySign():
            return "key", f"key({change.key})"
        case MeterSign():
            return "time", f"time({change.meter})"
        case TempoSign():
            return "tempo", f"tempo({show_tempo(change.tempo)})"
        case ClefSign():
            return "clef", f"clef({change.clef})"
