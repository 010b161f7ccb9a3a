"""How keys lie to one another: closely related ones, and enharmonic equals with what each costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from stavewright.theory.key import MOST_IN_PRINT, Key, Mode

MOST_WITH_DOUBLES: Final = 14
"""Accidentals of the remotest signature in which no letter needs more than a double sign."""


@dataclass(frozen=True, slots=True)
class EnharmonicKey:
    """A key that sounds like another, and what it costs to write."""

    key: Key
    accidentals: int
    """Sharps or flats of its signature; a double sign counts as two."""
    doubles: int
    """Letters that need a double sign."""

    @property
    def words(self) -> str:
        """`D# major: 9 sharps, 2 letters with a double sharp`."""
        count = f"{self.key}: {signature_words(self.key)}"
        if not self.doubles:
            return count
        kind = "flat" if self.key.signature < 0 else "sharp"
        letters = "one letter" if self.doubles == 1 else f"{self.doubles} letters"
        return f"{count}, {letters} with a double {kind}"


def signature_words(key: Key) -> str:
    """Count a signature in words: `9 sharps`, `1 flat`, `no sharps or flats`."""
    count = abs(key.signature)
    if not count:
        return "no sharps or flats"
    return f"{count} {'sharp' if key.signature > 0 else 'flat'}{'s' if count > 1 else ''}"


def enharmonic_keys(key: Key) -> tuple[EnharmonicKey, ...]:
    """Give every way to write a key's sound without triple signs, cheapest first, itself included.

    C# major, with 7 sharps, may be written as Db major with 5 flats. Of two with as many
    accidentals the sharp one stands first.
    """
    nearest = key.signature % 12
    signatures = {key.signature}
    signatures.update(
        signature
        for signature in range(nearest - 24, nearest + 25, 12)
        if abs(signature) <= MOST_WITH_DOUBLES
    )
    keys = (Key.of_signature(signature, key.mode) for signature in signatures)
    costs = [
        EnharmonicKey(each, abs(each.signature), max(0, abs(each.signature) - MOST_IN_PRINT))
        for each in keys
    ]
    return tuple(sorted(costs, key=lambda cost: (cost.accidentals, cost.key.signature < 0)))


def closely_related(key: Key) -> tuple[Key, ...]:
    """Give the major and minor keys whose signature differs by one accidental at most.

    For a major or minor key these are five: its relative, the dominant and the subdominant, and
    the relatives of both, in this order. The key itself is not among them; of a mode, its relative
    major and minor are.
    """
    same = [Key.of_signature(key.signature, mode) for mode in (Mode.MAJOR, Mode.MINOR)]
    own = Mode.MAJOR if key.mode.has_major_third else Mode.MINOR
    other = Mode.MINOR if own is Mode.MAJOR else Mode.MAJOR
    around = [
        Key.of_signature(key.signature + step, mode) for mode in (own, other) for step in (1, -1)
    ]
    return tuple(each for each in (*same, *around) if each != key)


def are_closely_related(one: Key, other: Key) -> bool:
    """Whether two keys share all their notes but one at most, by their signatures."""
    return abs(one.signature - other.signature) <= 1


def sounds_alike(one: Key, other: Key) -> bool:
    """Whether two keys of one mode have the same sound, whatever their spelling."""
    return one.mode is other.mode and one.tonic.sounds_like(other.tonic)
