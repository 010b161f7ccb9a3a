"""The pivot of a change of key: one chord, read in two keys, so both numerals must name it."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from stavewright.checking.agreeing import agrees
from stavewright.checking.quarrels import accused
from stavewright.checking.reading import chords_of
from stavewright.checking.verdicts import numeral_verdicts
from stavewright.notation.score import NumeralEvent, Score
from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.key import Key
from stavewright.theory.numeral_naming import numeral_for


@dataclass(frozen=True, slots=True)
class TwoChords:
    """A pivot whose second numeral names another chord than the first."""

    span: Span
    """Of the second reading, with its key: `key(D minor)=iv`."""
    message: str
    right: str | None
    """What would stand there instead; None where numerals have no word for it."""


def two_chords(score: Score) -> Iterator[TwoChords]:
    """Every pivot that is two chords.

    Where the first numeral is itself at odds with the notes or the symbols, that is said of it, and
    the second may well be right.
    """
    pivots = [event for event in score.numerals if event.pivot is not None]
    if not pivots:
        return
    doubted = {each.reading.span for each in numeral_verdicts(score) if each.contradicts}
    doubted |= accused(score)
    for event in pivots:
        if event.span not in doubted:
            yield from _of_event(event)


def _of_event(event: NumeralEvent) -> Iterator[TwoChords]:
    if event.numeral is None or event.key is None:
        return
    if event.pivot is None or event.pivot_key is None or event.pivot_span is None:
        return
    before = chords_of(event.numeral, event.key)
    after = chords_of(event.pivot, event.pivot_key)
    if not before or not after or any(_are_one(*pair) for pair in product(before, after)):
        return
    message = (
        f"{event.numeral} in {event.key} is {_said(before[0])}, "
        f"but {event.pivot} in {event.pivot_key} is {_said(after[0])}: a pivot is one chord"
    )
    yield TwoChords(event.pivot_span, message, _right(before[0], event.pivot_key))


def _are_one(one: Chord, other: Chord) -> bool:
    """Whether two numerals can be the same chord; one may say more than the other."""
    turned = one.is_inverted or other.is_inverted
    if turned and not one.bass.sounds_like(other.bass):
        return False
    if agrees(one, other):
        return True
    if one.root is not None and other.root is not None:
        return False
    # An augmented sixth turns into the dominant seventh that it sounds like, its fifth left out.
    sounds, others = ({name.cents for name in chord.names} for chord in (one, other))
    return sounds <= others or others <= sounds


def _right(chord: Chord, key: Key) -> str | None:
    numeral = numeral_for(chord, key)
    return None if numeral is None else f"key({key})={numeral}"


def _said(chord: Chord) -> str:
    return f"{chord.symbol} ({' '.join(chord.from_bass)})"
