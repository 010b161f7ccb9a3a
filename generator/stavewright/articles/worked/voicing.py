"""A chord put on a staff: each tone where its number says, the bass below."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from stavewright.theory.chord import Chord
    from stavewright.theory.pitch import Pitch

_OCTAVE: Final = 4


def voiced(chord: Chord) -> tuple[Pitch, ...]:
    """Give the chord's pitches from the bass upwards, the root in octave 4.

    A ninth lies a ninth above the root and an added second beside it; a bass that is not the root
    lies below the root, and only there.
    """
    # The tones of an augmented sixth, which has no root, are counted from the first of them.
    low = (chord.root or chord.names[0]).at(_OCTAVE)
    tones = [low + tone.interval for tone in chord.tones]
    if chord.bass == low.name:
        return tuple(sorted(tones))
    bass = next(
        pitch
        for octave in (_OCTAVE + 1, _OCTAVE, _OCTAVE - 1, _OCTAVE - 2)
        if (pitch := chord.bass.at(octave)) < min(tones)
    )
    return (bass, *sorted(tone for tone in tones if tone.name != chord.bass))
