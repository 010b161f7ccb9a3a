"""Bars cut where a key signature or a metre changes inside them.

The engraver draws a change of metre in the middle of a bar badly, so such a bar becomes two
measures without a bar line between them. Where a note of another voice is held across the change
there is no place to cut; the new signature then stands inside the bar.
"""

import itertools
from dataclasses import dataclass
from fractions import Fraction

from stavewright.notation.score import BarSign, Score
from stavewright.theory.key import Key
from stavewright.theory.meter import Meter


@dataclass(frozen=True, slots=True)
class Segment:
    """A bar, or a part of one: what becomes one measure."""

    bar: int
    start: Fraction
    length: Fraction
    opens: bool
    """Whether it begins its bar."""
    closes: bool
    """Whether it ends its bar."""
    meter: Meter | None
    """In force at its start."""
    offset: Fraction
    """Where in the metre it begins: not 0 after a pickup's silence or a cut."""

    @property
    def end(self) -> Fraction:
        """Where it stops."""
        return self.start + self.length

    @property
    def unit(self) -> int:
        """The note value that MEI counts time stamps in: 4 for quarters."""
        return self.meter.unit if self.meter else 4

    def stamp(self, time: Fraction) -> Fraction:
        """A time as MEI's time stamp: 1 at the start of the measure."""
        return 1 + (time - self.start) * self.unit


def segments(score: Score) -> tuple[Segment, ...]:
    """All segments, in order."""
    found = []
    for index, bar in enumerate(score.bars):
        cuts = _cuts(score, index)
        if not cuts:
            found.append(_segment(score, index, bar.start, bar.length))
            continue
        edges = [bar.start, *cuts, bar.start + bar.length]
        for start, end in itertools.pairwise(edges):
            opens, closes = start == edges[0], end == edges[-1]
            part = _segment(score, index, start, end - start, opens=opens, closes=closes)
            found.append(part)
    return tuple(found)


def _segment(
    score: Score,
    bar: int,
    start: Fraction,
    length: Fraction,
    *,
    opens: bool = True,
    closes: bool = True,
) -> Segment:
    meter = meter_at(score, start)
    return Segment(bar, start, length, opens, closes, meter, _offset(score, bar, start, meter))


def meter_at(score: Score, time: Fraction) -> Meter | None:
    """The metre in force at a time; a change counts from its own moment on."""
    later = [change.meter for change in score.meter_changes if change.at <= time]
    return later[-1] if later else score.meter


def stranded_keys(score: Score) -> dict[Fraction, Key]:
    """Changes of key inside a bar where it cannot be cut."""
    stranded = {}
    for index, bar in enumerate(score.bars):
        cuts = _cuts(score, index)
        for change in score.key_changes:
            if bar.start < change.at < bar.start + bar.length and change.at not in cuts:
                stranded[change.at] = change.key
    return stranded


def _cuts(score: Score, index: int) -> list[Fraction]:
    """Where the bar is cut: at changes that no sounding note or group spans."""
    if not (score.key_changes or score.meter_changes):
        return []
    bar = score.bars[index]
    changes = {change.at for change in score.key_changes}
    changes |= {change.at for change in score.meter_changes}
    inside = sorted(at for at in changes if bar.start < at < bar.start + bar.length)
    return [at for at in inside if not _is_spanned(score, index, at)]


def _is_spanned(score: Score, index: int, at: Fraction) -> bool:
    for voice in score.voices:
        events = [event for event in voice.events if event.bar == index and not event.fills_bar]
        if any(event.start < at < event.end for event in events):
            return True
        for tuplet in voice.tuplets:
            if voice.events[tuplet.first].start < at < voice.events[tuplet.last].end:
                return True
    return False


def _offset(score: Score, index: int, start: Fraction, meter: Meter | None) -> Fraction:
    """Where in its metre a segment begins."""
    if meter is None:
        return Fraction(0)
    bar = score.bars[index]
    offset = bar_offset(score, index)
    if start != bar.start:
        if any(change.at == start for change in score.meter_changes):
            return Fraction(0)
        offset += start - bar.start
    # Nearly every bar begins where its metre does.
    return offset % meter.length if offset else offset


def bar_offset(score: Score, index: int) -> Fraction:
    """Where in the metre a bar begins: a pickup ends with it, a second part-bar goes on in it."""
    bar = score.bars[index]
    meter = bar.meter
    if meter is None or bar.length >= meter.length:
        return Fraction(0)
    if index == 0:
        return meter.length - bar.length if bar.number == 0 else Fraction(0)
    before = score.bars[index - 1]
    is_second_part = before.closing in _REPEATS or bar.opening is BarSign.REPEAT_START
    if is_second_part and before.meter == meter and before.length + bar.length == meter.length:
        return before.length
    return Fraction(0)


_REPEATS = (BarSign.REPEAT_END, BarSign.DOUBLE)
