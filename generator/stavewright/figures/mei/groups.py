"""Beams and tuplets: which notes of a layer are drawn together.

Beams show the beats. A beam never joins notes across a beat, but for the trade's exceptions: plain
eighths run through the half bar of 4/4 and the whole bar of 2/4, 3/4 and 3/8, and a tuplet whose
notes fall on no beat inside it stays whole (Gould, Behind Bars, 2011, pp. 153-172, from memory).
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import lcm
from typing import Final

from stavewright.figures.mei.strands import Group, Item
from stavewright.notation.score import Silence
from stavewright.theory.meter import Meter, MeterKind

EIGHTH: Final = Fraction(1, 8)
QUARTER: Final = Fraction(1, 4)


@dataclass(frozen=True, slots=True)
class Range:
    """Items from `first` to `last` (both included) under one beam or in one tuplet."""

    first: int
    last: int
    group: Group | None = None
    """None for a beam."""

    def contains(self, other: "Range") -> bool:
        """Whether all of `other` lies within."""
        return self.first <= other.first and other.last <= self.last

    def meets(self, other: "Range") -> bool:
        """Whether they have an item in common."""
        return self.first <= other.last and other.first <= self.last


def ranges(
    items: Sequence[Item], groups: Sequence[Group], shift: Fraction, meter: Meter | None
) -> tuple[Range, ...]:
    """Beams and tuplets of one measure, nested and in order, the outer first.

    `groups` count from the first of `items`; `shift`, added to the start of an item, says where in
    the metre it begins.
    """
    tuplets = [Range(group.first, group.last, group) for group in groups]
    found: list[Range] = [*tuplets]
    # Most measures of long notes are done with here.
    if sum(map(_is_beamable, items)) > 1:
        offsets = [item.start + shift for item in items]
        for beam in _beams(items, tuplets, offsets, meter):
            for part in _between(beam, tuplets):
                found += [part] if part.last > part.first else []
    if len(found) < 2:
        return tuple(found)
    order = {id(each): place for place, each in enumerate(found)}
    return tuple(sorted(found, key=lambda r: (r.first, -r.last, r.group is None, order[id(r)])))


def windows(meter: Meter | None, length: Fraction) -> tuple[Fraction, ...]:
    """Where the beats begin that beams must show, up to `length`."""
    if meter is None:
        starts = [Fraction(0)]
        while starts[-1] + QUARTER < length:
            starts.append(starts[-1] + QUARTER)
        return tuple(starts)
    if meter.kind is MeterKind.ADDITIVE and len(meter.groups) == 1:
        return (Fraction(0),)  # the grouping is left open
    if meter.kind is MeterKind.SIMPLE and meter.unit >= 8:
        step = meter.groups[0] if meter.groups[0] == 3 else 2
        return tuple(Fraction(at, meter.unit) for at in range(0, meter.groups[0], step))
    return meter.beat_starts


def wide_windows(meter: Meter | None, starts: Sequence[Fraction]) -> tuple[Fraction, ...]:
    """The same for plain eighths, which may run on over some beats."""
    if meter is None or meter.kind is not MeterKind.SIMPLE or meter.unit != 4:
        return tuple(starts)
    count = meter.groups[0]
    if count in (2, 3):
        return (starts[0],)
    return tuple(starts[::2]) if count == 4 else tuple(starts)


def _beams(
    items: Sequence[Item],
    tuplets: Sequence[Range],
    offsets: Sequence[Fraction],
    meter: Meter | None,
) -> list[Range]:
    """Runs of short notes within one beat, or one wide window of plain eighths."""
    length = offsets[-1] + items[-1].duration
    counted = _counted(meter, length)
    # Windows begin on whole parts, so the part that an item begins in is enough.
    begun = [at.numerator * counted.parts // at.denominator for at in offsets]
    narrow = [bisect_right(counted.narrow, at) for at in begun]
    fine = [bisect_right(counted.fine, at) for at in begun]
    wide = [bisect_right(counted.wide, at) for at in begun]
    starts = windows(meter, length) if tuplets else ()
    plain = _plain_windows(items, tuplets, offsets, wide)
    short = {at for at, item in zip(narrow, items, strict=True) if _is_under(item.value, 8)}
    keys: list[tuple[str, int]] = []
    for place in range(len(items)):
        loose = _loose_tuplet(place, items, tuplets, offsets, starts)
        if loose is not None:
            keys.append(("tuplet", loose))
        elif wide[place] in plain:
            keys.append(("wide", wide[place]))
        elif narrow[place] in short:
            keys.append(("fine", fine[place]))
        else:
            keys.append(("beat", narrow[place]))
    return _runs(items, keys)


@dataclass(frozen=True, slots=True)
class _Counted:
    """Where windows begin, in whole parts of a whole note: Fractions compare much slower."""

    parts: int
    narrow: tuple[int, ...]
    fine: tuple[int, ...]
    wide: tuple[int, ...]


@lru_cache(maxsize=128)  # few metres, and few lengths of their bars
def _counted(meter: Meter | None, length: Fraction) -> _Counted:
    narrow = windows(meter, length)
    every = (narrow, _halved(narrow, length, meter), wide_windows(meter, narrow))
    parts = lcm(*(start.denominator for starts in every for start in starts))
    return _Counted(parts, *(tuple(int(start * parts) for start in starts) for starts in every))


def _halved(
    starts: Sequence[Fraction], length: Fraction, meter: Meter | None
) -> tuple[Fraction, ...]:
    """Beats of a half note cut into quarters, for notes shorter than an eighth."""
    if meter is None or meter.kind is not MeterKind.SIMPLE or meter.unit > 2:
        return tuple(starts)
    ends = [*starts[1:], max(length, starts[-1] + Fraction(1, meter.unit))]
    fine = []
    for start, end in zip(starts, ends, strict=True):
        at = start
        while at < end:
            fine.append(at)
            at += QUARTER
    return tuple(fine)


def _plain_windows(
    items: Sequence[Item],
    tuplets: Sequence[Range],
    offsets: Sequence[Fraction],
    wide: Sequence[int],
) -> set[int]:
    """Windows that hold only plain eighths and, on the beat, longer notes of whole beats."""
    spoilt = set()
    for place, item in enumerate(items):
        in_tuplet = any(t.first <= place <= t.last for t in tuplets)
        is_short_rest = item.silence is not None and _is_under(item.value, 4)
        is_other = _is_beamable(item) and item.value != EIGHTH
        if in_tuplet or is_short_rest or is_other or _is_off_beat(item, offsets[place]):
            spoilt.add(wide[place])
    return set(wide) - spoilt


def _is_off_beat(item: Item, offset: Fraction) -> bool:
    """Whether a longer note begins or ends between quarters."""
    value = item.value or QUARTER
    return not _is_under(value, 4) and bool(4 % offset.denominator or 4 % value.denominator)


def _is_beamable(item: Item) -> bool:
    return bool(item.heads) and _is_under(item.value, 4)


def _is_under(value: Fraction | None, parts: int) -> bool:
    """Whether a value is shorter than one of so many parts of a whole note.

    In whole numbers: it is asked of every note, and Fractions compare much slower.
    """
    return value is not None and value.numerator * parts < value.denominator


def _loose_tuplet(
    place: int,
    items: Sequence[Item],
    tuplets: Sequence[Range],
    offsets: Sequence[Fraction],
    starts: Sequence[Fraction],
) -> int | None:
    """The tuplet an item lies in, if beats fall inside it that none of its notes begins on."""
    for number, tuplet in enumerate(tuplets):
        if tuplet.first <= place <= tuplet.last:
            begin = offsets[tuplet.first]
            end = offsets[tuplet.last] + items[tuplet.last].duration
            beats = {start for start in starts if begin < start < end}
            onsets = set(offsets[tuplet.first : tuplet.last + 1])
            return number if beats - onsets else None
    return None


def _runs(items: Sequence[Item], keys: Sequence[tuple[str, int]]) -> list[Range]:
    """Short notes that follow one another with the same key; short rests may lie between."""
    found = []
    run: list[int] = []
    for place, item in enumerate(items):
        if run and keys[place] != keys[run[0]]:
            found.append(run)
            run = []
        is_inner_rest = bool(run) and item.silence is Silence.REST and _is_under(item.value, 4)
        if _is_beamable(item) or is_inner_rest:
            run.append(place)
        elif run:
            found.append(run)
            run = []
    found.append(run)
    return [trimmed for run in found if (trimmed := _trimmed(items, run)) is not None]


def _trimmed(items: Sequence[Item], run: list[int]) -> Range | None:
    notes = [place for place in run if items[place].heads]
    return Range(notes[0], notes[-1]) if len(notes) > 1 else None


def _between(beam: Range, tuplets: Sequence[Range]) -> list[Range]:
    """Cut a beam where it would cross the edge of a tuplet that it does not hold whole."""
    edges = {beam.first, beam.last + 1}
    for tuplet in tuplets:
        if beam.meets(tuplet) and not beam.contains(tuplet) and not tuplet.contains(beam):
            edges |= {e for e in (tuplet.first, tuplet.last + 1) if beam.first < e <= beam.last}
    cuts = sorted(edges)
    return [Range(first, after - 1) for first, after in pairwise(cuts)]
