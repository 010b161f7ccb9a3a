"""Groups in a ratio and slurs as brackets that hold one another.

A block writes both as parentheses, so what crosses cannot be said. Groups come first: without them
the bar would not add up.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from stavewright.importing.model import Sound
from stavewright.notation.limits import LARGEST_RATIO


@dataclass(frozen=True, slots=True)
class Group:
    """A group in a ratio over the sounds from `first` to `last`, both included."""

    first: int
    last: int
    actual: int
    normal: int


def groups_in(sounds: Sequence[Sound]) -> tuple[Group, ...]:
    """The groups of one bar, the outer before the inner; `sounds` have values within them."""
    if all(sound.ratio == 1 for sound in sounds):
        return ()
    found = _by_brackets(sounds)
    return found if found is not None else tuple(_by_filling(sounds))


def _by_brackets(sounds: Sequence[Sound]) -> tuple[Group, ...] | None:
    """The groups as the file draws them; None where they contradict the notes."""
    open_: list[Group] = []
    found: list[Group] = []
    for place, sound in enumerate(sounds):
        open_ += [Group(place, place, actual, normal) for actual, normal in sound.opens]
        ratio = Fraction(1)
        for group in open_:
            ratio *= Fraction(group.normal, group.actual)
        if ratio != sound.ratio or sound.closes > len(open_):
            return None
        for _ in range(sound.closes):
            group = open_.pop()
            closed = Group(group.first, place, group.actual, group.normal)
            if not _is_complete(sounds, closed, found):
                return None
            found.append(closed)
    if open_:
        return None
    return tuple(sorted(found, key=lambda group: (group.first, -group.last)))


def _is_complete(sounds: Sequence[Sound], group: Group, inner: Sequence[Group]) -> bool:
    """Whether what a group holds divides by its number."""
    if not 0 < max(group.actual, group.normal) <= LARGEST_RATIO or group.actual == group.normal:
        return False
    outer = sounds[group.first].ratio
    for each in inner:
        if group.first == each.first and each.last <= group.last:
            outer *= Fraction(each.actual, each.normal)
    total = sum((s.length for s in sounds[group.first : group.last + 1]), Fraction(0)) / outer
    return total > 0 and (total / group.actual).denominator.bit_count() == 1


def _by_filling(sounds: Sequence[Sound]) -> Iterator[Group]:
    """Groups put together by their ratio: each is as short as it can be and still complete."""
    place = 0
    while place < len(sounds):
        ratio = sounds[place].ratio
        if ratio == 1:
            place += 1
            continue
        last = _last(sounds, place)
        yield Group(place, last, ratio.denominator, ratio.numerator)
        place = last + 1


def _last(sounds: Sequence[Sound], first: int) -> int:
    ratio = sounds[first].ratio
    total = Fraction(0)
    shortest = sounds[first].length
    last = first
    for place in range(first, len(sounds)):
        if sounds[place].ratio != ratio:
            break
        last = place
        total += sounds[place].length
        shortest = min(shortest, sounds[place].length)
        unit = total / ratio / ratio.denominator
        if unit.denominator.bit_count() == 1 and unit >= shortest / ratio:
            return place
    return last


def are_whole(sounds: Sequence[Sound], groups: Sequence[Group]) -> bool:
    """Whether all groups are complete."""
    return all(
        _is_complete(
            sounds, group, [g for g in groups if g is not group and g.first >= group.first]
        )
        for group in groups
    )


@dataclass(frozen=True, slots=True)
class SlurSpan:
    """A slur over the sounds from `first` to `last` of a voice."""

    first: int
    last: int


def writable_slurs(slurs: Sequence[SlurSpan], groups: Sequence[Group]) -> tuple[SlurSpan, ...]:
    """Those slurs that can be written: none crosses a group or another slur.

    A slur may begin on the note on which the one before it ends.
    """
    kept: list[SlurSpan] = []
    for slur in sorted(slurs, key=lambda each: (each.first, -each.last)):
        if slur.first < slur.last and all(_nests(slur, each) for each in groups):
            joined = any(each.last == slur.first for each in kept)
            doubled = any(each.first == slur.first for each in kept)
            if not (joined and doubled) and all(_follows(slur, each, groups) for each in kept):
                kept.append(slur)
    return tuple(kept)


def _nests(slur: SlurSpan, other: Group | SlurSpan) -> bool:
    apart = slur.last < other.first or other.last < slur.first
    inside = other.first <= slur.first and slur.last <= other.last
    around = slur.first <= other.first and other.last <= slur.last
    return apart or around or (inside and (slur.first, slur.last) != (other.first, other.last))


def _follows(slur: SlurSpan, before: SlurSpan, groups: Sequence[Group]) -> bool:
    """Whether a slur lies apart from an earlier one, within it, or goes on from its last note."""
    if (slur.first, slur.last) == (before.first, before.last):
        return False
    if slur.first != before.last:
        return _nests(slur, before) and slur.last != before.last
    # `)(` stands after the note, so no group may begin with it or go on over it.
    return not any(group.first <= slur.first < group.last for group in groups)
