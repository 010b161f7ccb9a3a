"""What holds for a time and is no note: chord symbols, numerals and keys.

Views that show these light them while they hold, as others light a note while it sounds. Their ids
begin with the words of the lines they stand in, which no voice may be called.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from stavewright.notation.score import ChordEvent, NumeralEvent, Score
from stavewright.theory import Key

_SHOWN = {
    "fretboard": ("chords",),
    "circle": ("key",),
    "clock": ("chords", "numerals"),
    "table": ("chords", "numerals"),
}
"""What each view lights of these."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A symbol or a key, from where it begins to hold to where it ends, as written."""

    id: str
    start: Fraction
    end: Fraction


def chord_id(index: int) -> str:
    """Of `Score.chords[index]`."""
    return f"chords-{index}"


def numeral_id(index: int) -> str:
    """Of `Score.numerals[index]`."""
    return f"numerals-{index}"


def key_id(order: int) -> str:
    """Of the key at a place, from 0, in `shown_keys`."""
    return f"key-{order}"


def stretches(score: Score) -> tuple[Stretch, ...]:
    """All that the score's own views light and that is no note; the score is written out."""
    kinds = {kind for view in score.show for kind in _SHOWN.get(view.name, ())}
    found: list[Stretch] = []
    if "chords" in kinds:
        found += _symbols(score.chords, chord_id)
    if "numerals" in kinds and not score.chords:
        found += _symbols(score.numerals, numeral_id)
    if "key" in kinds:
        found += _keys(score)
    return tuple(found)


def shown_keys(score: Score) -> tuple[Key, ...]:
    """The keys in order, each once: signatures, changes, and the local keys of numerals."""
    keys = [(Fraction(0), score.key)] if score.key else []
    keys += [(change.at, change.key) for change in score.key_changes]
    keys += [(event.start, event.key) for event in score.numerals if event.key]
    keys += [(event.start, event.pivot_key) for event in score.numerals if event.pivot_key]
    return tuple(dict.fromkeys(key for _, key in sorted(keys, key=lambda pair: pair[0])))


def _symbols(
    events: Sequence[ChordEvent | NumeralEvent], name: Callable[[int], str]
) -> Iterator[Stretch]:
    for index, event in enumerate(events):
        if event.duration:
            yield Stretch(name(index), event.start, event.end)


def _keys(score: Score) -> Iterator[Stretch]:
    """A numeral says its key while it holds; elsewhere the signature does."""
    order = {key: place for place, key in enumerate(shown_keys(score))}
    moments = {Fraction(0), score.end, *(change.at for change in score.key_changes)}
    moments |= {moment for event in score.numerals for moment in (event.start, event.end)}
    for start, end in pairwise(sorted(moments)):
        for key in _keys_at(score, start):
            yield Stretch(key_id(order[key]), start, end)


def _keys_at(score: Score, time: Fraction) -> tuple[Key, ...]:
    """The keys that hold: of a pivot both, the one it leaves and the one it enters."""
    here = [event for event in score.numerals if event.start <= time < event.end]
    local = [key for event in here for key in (event.key, event.pivot_key) if key]
    signature = score.key_at(time)
    return tuple(local) or ((signature,) if signature else ())
