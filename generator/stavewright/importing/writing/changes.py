"""What changes within an excerpt: bar signs, keys, metres, tempos, clefs, each in its place."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from stavewright.importing.model import Placed
from stavewright.importing.remains import Remains
from stavewright.importing.select import Bar
from stavewright.notation.score import BarSign, Tempo
from stavewright.notation.values import show_tempo
from stavewright.theory import Key, Meter


@dataclass(frozen=True, slots=True)
class Word:
    """A change as text, and where it is to stand."""

    bar: int
    at: Fraction
    text: str
    staff: int | None = None
    """None where it holds for the whole score."""


@dataclass(slots=True)
class Timing:
    """The metres of an excerpt: the opening one, its pickup, and where it changes."""

    meter: Meter | None = None
    pickup: Fraction | None = None
    words: list[Word] = field(default_factory=list)


def timing(bars: Sequence[Bar], remains: Remains) -> Timing:
    """A metre for each bar: the file's, or one that fits where the bar is shorter or longer."""
    found = Timing()
    written: Meter | None = None
    if not any(bar.meter for bar in bars):
        return found
    for index, bar in enumerate(bars):
        wanted = _wanted(bars, index, found)
        if wanted is None:
            wanted = _fitting(bar.measure.length)
            remains.bar = bar.indices.start
            one = f"bar of {bar.measure.length} with a meter of its own"
            remains.leave(one, many=f"bars of {bar.measure.length} with a meter of their own")
        if wanted is None or wanted == written:
            continue
        if written is None:
            found.meter = wanted
        else:
            found.words.append(Word(index, Fraction(0), f"time({wanted})"))
        written = wanted
    return found


def _wanted(bars: Sequence[Bar], index: int, found: Timing) -> Meter | None:
    """The file's metre where the bar may stand under it; sets the pickup."""
    bar = bars[index]
    length, meter = bar.measure.length, bar.meter
    if meter is None or length == meter.length:
        return meter
    if length > meter.length:
        return None
    if _is_half(bars, index):
        return meter
    if index == 0 and len(bars) > 1 and length > 0:
        found.pickup = length
        return meter
    missing = meter.length - length
    is_end = index + 1 == len(bars) or bar.measure.closing is BarSign.REPEAT_END
    return meter if is_end and missing == found.pickup else None


def _is_half(bars: Sequence[Bar], index: int) -> bool:
    """Whether a bar and a neighbour are two parts of one, round a repeat or a double bar."""
    for first in (index - 1, index):
        if not (first >= 0 and first + 1 < len(bars)):
            continue
        a, b = bars[first], bars[first + 1]
        turned = a.measure.closing is BarSign.REPEAT_END or b.measure.opens_repeat
        same = a.meter is not None and a.meter == b.meter
        if turned and same and a.meter:
            return a.measure.length + b.measure.length == a.meter.length
    return False


def _fitting(length: Fraction) -> Meter | None:
    """A metre of exactly this length; None for a length that no metre has."""
    for unit in (4, 8, 16, 32, 64):
        count = length * unit
        if count.denominator == 1 and 0 < count <= 64:
            return Meter((int(count),), unit)
    return None


def tempo_words(bars: Sequence[Bar], opening: Tempo | None) -> list[Word]:
    """The changes of tempo after the opening one, each only where it differs from that before."""
    found = []
    before = opening
    for index, bar in enumerate(bars):
        for placed in sorted(bar.measure.tempos, key=lambda each: each.at):
            if placed.what != before:
                found.append(Word(index, placed.at, f"tempo({show_tempo(placed.what)})"))
                before = placed.what
    return found


def key_words(keys: Sequence[tuple[int, Fraction, Key]], opening: Key | None) -> list[Word]:
    """The changes of key, each only where it differs from the one before."""
    found = []
    before = opening
    for bar, at, key in keys:
        if key != before:
            found.append(Word(bar, at, f"key({key})"))
        before = key
    return found


def clef_words(bars: Sequence[Bar], staff: int, opening: str) -> list[Word]:
    """The changes of clef of one staff."""
    found = []
    before = opening
    for index, bar in enumerate(bars):
        for placed in sorted(bar.measure.clefs, key=lambda each: each.at):
            if placed.staff == staff and placed.what != before:
                found.append(Word(index, placed.at, f"clef({placed.what})", staff))
                before = placed.what
    return found


def signs(bars: Sequence[Bar], *, ends_piece: bool) -> list[str]:
    """The sign before each bar, and the one after the last."""
    found = ["|:" if bars[0].measure.opens_repeat else ""]
    for bar, after in zip(bars, [*bars[1:], None], strict=True):
        closing = bar.measure.closing
        is_last = after is None
        if closing is BarSign.FINAL and not (is_last and ends_piece):
            closing = BarSign.DOUBLE if not is_last else BarSign.SINGLE
        ends = bar.measure.ending and after is not None and not after.measure.ending
        if ends and closing is BarSign.SINGLE:
            closing = BarSign.DOUBLE
        if after is not None and after.measure.opens_repeat:
            both = closing is BarSign.REPEAT_END
            closing = BarSign.REPEAT_BOTH if both else BarSign.REPEAT_START
        found.append(closing.value)
    return found


def ending_words(bars: Sequence[Bar]) -> list[Word]:
    """Where brackets for the passes of a repeat begin."""
    found = []
    before: tuple[int, ...] = ()
    for index, bar in enumerate(bars):
        ending = bar.measure.ending
        if ending and (bar.measure.ending_starts or ending != before):
            passes = " ".join(map(str, ending))
            found.append(Word(index, Fraction(-1), f"ending({passes})"))
        before = ending
    return found


def by_bar(placed: Sequence[Placed[str]], length: Fraction) -> list[Placed[str]]:
    """Symbols of one bar in order, the last said at each moment; none after its end."""
    kept = {each.at: each for each in placed if each.at < length}
    return [kept[at] for at in sorted(kept)]


def by_place(words: Sequence[Word]) -> dict[int, list[Word]]:
    """Changes by bar."""
    found: defaultdict[int, list[Word]] = defaultdict(list)
    for word in words:
        found[word.bar].append(word)
    return dict(found)
