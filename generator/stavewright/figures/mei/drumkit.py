"""A drum kit written as players read it: the hands on one layer, the feet on another.

An author may give each instrument a voice of its own; three voices of rests on one staff can't be
read. Drums do not sustain, so strokes that fall together are written as one note, as long as lasts
until the next stroke of the layer or the longest of them. Where groups in other ratios overlap
differently the voices stay apart.
"""

import itertools
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from stavewright.figures.mei.drums import FEET
from stavewright.figures.mei.strands import Group, Item, PlacedHead, Strand
from stavewright.notation.score import Drum, Score, Silence
from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import split

_Ratio = tuple[Fraction, Fraction, int, int]
"""Start and end of a group, and its two numbers."""


class _ApartError(Exception):
    """These voices cannot be written on one layer."""


def kit_strands(score: Score, voices: Sequence[Strand]) -> tuple[Strand, ...]:
    """The layers of a percussion staff with these voices, hands first."""
    feet = [strand for strand in voices if _is_feet(strand)]
    hands = [strand for strand in voices if strand not in feet]
    layers = [layer for layer in (hands, feet) if layer]
    down = [False, True] if len(layers) > 1 else [None]
    strands: list[Strand] = []
    for layer, stems in zip(layers, down, strict=True):
        strands += _merged(score, layer, stems)
    return tuple(strands)


def _is_feet(strand: Strand) -> bool:
    sounds = [placed.head.sound for item in strand.items for placed in item.heads]
    return bool(sounds) and all(isinstance(s, Drum) and s.key_number in FEET for s in sounds)


def _merged(score: Score, voices: list[Strand], stems_down: bool | None) -> list[Strand]:
    """One strand of several voices, or as many as there are voices where that can't be."""
    apart = [replace(strand, stems_down=stems_down) for strand in voices]
    if len(apart) == 1:
        return apart
    try:
        items, groups = _merge(score, apart)
    except _ApartError:
        return apart
    indices = tuple(index for strand in apart for index in strand.voices)
    return [Strand(apart[0].staff, indices, tuple(items), tuple(groups), stems_down)]


def _merge(score: Score, strands: list[Strand]) -> tuple[list[Item], list[Group]]:
    ratios = sorted({ratio for strand in strands for ratio in _ratios(strand)})
    for one, other in itertools.pairwise(ratios):
        if other[0] < one[1]:
            raise _ApartError  # nested or overlapping groups
    items: list[Item] = []
    for bar in range(len(score.bars)):
        items += _merge_bar(score, strands, bar, ratios)
    return items, [_group(items, ratio) for ratio in ratios]


def _ratios(strand: Strand) -> list[_Ratio]:
    return [
        (
            strand.items[group.first].start,
            strand.items[group.last].start + strand.items[group.last].duration,
            group.actual,
            group.normal,
        )
        for group in strand.groups
    ]


def _group(items: list[Item], ratio: _Ratio) -> Group:
    start, end, actual, normal = ratio
    inside = [place for place, item in enumerate(items) if start <= item.start < end]
    return Group(actual, normal, inside[0], inside[-1])


def _merge_bar(score: Score, strands: list[Strand], index: int, ratios: list[_Ratio]) -> list[Item]:
    """The strokes of one bar, and the rests between them."""
    bar = score.bars[index]
    items = [strand.items[place] for strand in strands for place in strand.bars.get(index, ())]
    strokes = [item for item in items if item.heads]
    if not strokes:
        silence = Silence.REST if any(i.silence is Silence.REST for i in items) else Silence.SPACE
        return [Item(bar.start, bar.length, None, index, silence=silence)]
    edges = {edge for start, end, _, _ in ratios for edge in (start, end)}
    stop = bar.start + bar.length
    times = {item.start for item in strokes} | {bar.start, stop}
    times |= {edge for edge in edges if bar.start < edge < stop}
    merged: list[Item] = []
    ordered = sorted(times)
    for start, end in itertools.pairwise(ordered):
        together = [item for item in strokes if item.start == start]
        ratio = next((r for r in ratios if r[0] <= start < r[1]), None)
        merged += _fill(start, end, together, index, ratio)
    return merged


def _fill(
    start: Fraction, end: Fraction, together: list[Item], bar: int, ratio: _Ratio | None
) -> list[Item]:
    """One stroke and the rests after it, up to the next."""
    scale = Fraction(ratio[2], ratio[3]) if ratio else Fraction(1)
    filled: list[Item] = []
    at = start
    if together:
        longest = min(max(item.duration for item in together), end - start)
        value = _values(longest * scale)[0]
        heads: tuple[PlacedHead, ...] = tuple(h for item in together for h in item.heads)
        only = together[0].id if len(together) == 1 else f"x-kit-{together[0].id}"
        filled.append(
            Item(
                start,
                value / scale,
                value,
                bar,
                heads,
                graces=tuple(grace for item in together for grace in item.graces),
                marks=frozenset(mark for item in together for mark in item.marks),
                id=only,
            )
        )
        at += value / scale
    for value in reversed(_values((end - at) * scale)) if end > at else ():
        filled.append(Item(at, value / scale, value, bar, silence=Silence.REST))
        at += value / scale
    return filled


def _values(length: Fraction) -> list[Fraction]:
    try:
        return [value.length for value in split(length, most_dots=1)]
    except TheoryError:
        raise _ApartError from None
