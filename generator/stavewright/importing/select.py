"""The bars of an excerpt: part-bars joined, a range found by its printed numbers."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from stavewright.importing.errors import CannotImportError
from stavewright.importing.model import Measure, Placed, Sound, Stream, T
from stavewright.notation.limits import MOST_BARS
from stavewright.notation.score import BarSign
from stavewright.theory import Meter

_RANGE: Final = re.compile(r"\s*(?P<first>[^\s–-]+)(?:\s*[–-]\s*(?P<last>[^\s–-]+))?\s*")
_SUFFIX: Final = re.compile(r"(?P<number>\d+)[a-z]")


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar as it is to be written, and the measures of the file that it is made of."""

    measure: Measure
    number: str
    """As printed, or counted where the file prints none."""
    indices: range
    meter: Meter | None
    """In force at its start."""


def bars_of(measures: Sequence[Measure]) -> tuple[Bar, ...]:
    """All bars: measures that no bar line parts are one, and each knows its metre."""
    found: list[Bar] = []
    meter: Meter | None = None
    for index, measure in enumerate(measures):
        for placed in measure.meters:
            meter = placed.what
        sized = replace(measure, length=_length(measure, meter))
        if found and _continues(found[-1], sized):
            before = found[-1]
            found[-1] = replace(
                before,
                measure=_joined(before.measure, sized),
                indices=range(before.indices.start, index + 1),
            )
            continue
        number = measure.number or str(index + (0 if _opens_uncounted(measures) else 1))
        found.append(Bar(sized, number, range(index, index + 1), meter))
    return tuple(found)


def _opens_uncounted(measures: Sequence[Measure]) -> bool:
    return measures[0].uncounted and not measures[0].number


def _length(measure: Measure, meter: Meter | None) -> Fraction:
    """How long a bar is: rests that fill it say nothing of it where a metre does."""
    sounds = [sound for stream in measure.streams for sound in stream.sounds]
    ends = [sound.end for sound in sounds if not _fills(sound)]
    if ends:
        whole = meter.length if meter is not None else measure.length
        is_whole = measure.length == whole and not measure.uncounted
        return whole if is_whole else max(ends)
    return meter.length if meter is not None else measure.length


def _fills(sound: Sound) -> bool:
    return sound.value is None and not sound.tones and sound.at == 0


def _continues(before: Bar, measure: Measure) -> bool:
    """Whether a measure goes on with the bar before it, as after a line's end within a bar."""
    whole = before.meter.length if before.meter is not None else None
    held = before.measure.length
    if whole is None or held + measure.length > whole or held == whole or measure.meters:
        return False
    if before.measure.closing is not BarSign.SINGLE or measure.opens_repeat:
        return False
    if measure.ending_starts or measure.ending != before.measure.ending:
        return False
    suffix = _SUFFIX.fullmatch(measure.number)
    same = measure.number == before.measure.number and bool(measure.number)
    same = same or (suffix is not None and suffix["number"] == before.measure.number.rstrip("abcd"))
    is_first = before.indices.start == 0 and before.measure.uncounted
    goes_on = measure.uncounted and not is_first
    return before.measure.invisible or same or goes_on


def _joined(first: Measure, second: Measure) -> Measure:
    """Two measures as one."""
    by = first.length
    streams = {(s.staff, s.name): s for s in first.streams}
    for stream in second.streams:
        moved = tuple(replace(sound, at=sound.at + by) for sound in stream.sounds)
        before = streams.get((stream.staff, stream.name), Stream(stream.staff, stream.name, ()))
        streams[stream.staff, stream.name] = replace(stream, sounds=before.sounds + moved)
    return replace(
        first,
        length=by + second.length,
        streams=tuple(streams.values()),
        keys=first.keys + _moved(second.keys, by),
        tempos=first.tempos + _moved(second.tempos, by),
        clefs=first.clefs + _moved(second.clefs, by),
        chords=first.chords + _moved(second.chords, by),
        numerals=first.numerals + _moved(second.numerals, by),
        figures=first.figures + _moved(second.figures, by),
        closing=second.closing,
        invisible=second.invisible,
    )


def _moved(placed: Sequence[Placed[T]], by: Fraction) -> tuple[Placed[T], ...]:
    return tuple(replace(each, at=each.at + by) for each in placed)


def bar_range(bars: Sequence[Bar], wanted: str | None) -> tuple[int, int]:
    """Indices of the first bar and of the one after the last, from `3-5`, `7` or nothing."""
    first, last = 0, len(bars) - 1
    if wanted is not None:
        match = _RANGE.fullmatch(wanted)
        if match is None:
            raise CannotImportError(
                f"bars are given as 3-5, or as 7 for one alone, not as {wanted[:40]!r}"
            )
        first = _find(bars, match["first"], 0)
        last = _find(bars, match["last"] or match["first"], first)
    if last - first >= MOST_BARS:
        raise CannotImportError(
            f"the file holds {last - first + 1} bars, and a block at most {MOST_BARS}; "
            f"choose some with --bars, of {_reach(bars)}"
        )
    return first, last + 1


def _find(bars: Sequence[Bar], number: str, start: int) -> int:
    for index in range(start, len(bars)):
        if bars[index].number == number:
            return index
    before = any(bar.number == number for bar in bars[:start])
    why = " after the first of them" if before else ""
    raise CannotImportError(f"there is no bar {number[:20]}{why}; the file has {_reach(bars)}")


def _reach(bars: Sequence[Bar]) -> str:
    if len(bars) == 1:
        return f"bar {bars[0].number} alone"
    return f"bars {bars[0].number} to {bars[-1].number}"
