"""Beams in MusicXML: each note says how every one of its beams begins, goes on or ends.

Which notes are beamed together is worked out as for the engraver.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.groups import ranges
from stavewright.figures.mei.strands import Item, Strand
from stavewright.figures.timeline import bar_origin
from stavewright.notation.score import Score
from stavewright.theory import NoteValue

_QUARTER: Final = 4
_EIGHTH: Final = Fraction(1, 8)

Beams = dict[int, tuple[str, ...]]
"""By event of a voice: what each of its beams does, the outermost first."""


def beams_of(score: Score, strand: Strand) -> Beams:
    """The beams of a whole voice."""
    found: Beams = {}
    for index, here in strand.bars.items():
        first = here[0]
        items = [strand.items[place] for place in here]
        groups = [
            replace(group, first=group.first - first, last=group.last - first)
            for group in strand.groups
            if first <= group.first <= here[-1]
        ]
        shift = -bar_origin(score, index)
        for each in ranges(items, groups, shift, score.bars[index].meter):
            if each.group is None:
                places = [p for p in range(each.first, each.last + 1) if items[p].heads]
                told = _told([_count(items[place]) for place in places])
                found.update((first + p, beams) for p, beams in zip(places, told, strict=True))
    return found


def _count(item: Item) -> int:
    """How many beams a note has: one for an eighth."""
    base = NoteValue.from_length(item.value or _EIGHTH).base
    return max(1, base.denominator.bit_length() - _QUARTER.bit_length())


def _told(counts: Sequence[int]) -> Iterator[tuple[str, ...]]:
    for place, count in enumerate(counts):
        yield tuple(_word(counts, place, level) for level in range(1, count + 1))


def _word(counts: Sequence[int], place: int, level: int) -> str:
    before = place > 0 and counts[place - 1] >= level
    after = place + 1 < len(counts) and counts[place + 1] >= level
    if before and after:
        return "continue"
    if before or after:
        return "end" if before else "begin"
    return "backward hook" if place > 0 else "forward hook"
