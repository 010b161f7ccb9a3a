"""A Roman numeral in a key: the chord it means, and how it is counted."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from stavewright.articles.worked.answer import Answer, rows
from stavewright.articles.worked.pasting import (
    block,
    claim,
    clef_for,
    clef_line,
    listed,
    sentence,
    together,
)
from stavewright.articles.worked.question import read_at, what_and_key
from stavewright.articles.worked.voicing import voiced
from stavewright.theory.errors import TheoryError
from stavewright.theory.numeral import Numeral

if TYPE_CHECKING:
    from stavewright.theory.chord import Chord
    from stavewright.theory.key import Key

_INVERSIONS: Final = ("root position", "first inversion", "second inversion", "third inversion")


def numeral_answer(text: str, key: Key | None = None) -> Answer:
    """Work out `V65/V in A minor`; the key may be given beside the text. Raises TheoryError."""
    what, key = what_and_key(text, key)
    numeral = read_at(text, what, 0, Numeral.parse)
    if key is None:
        raise TheoryError("A numeral is read in a key", text, len(text), suggestion=" in C major")
    chord = read_at(text, what, 0, lambda _: numeral.chord(key))
    others = [str(other) for other in numeral.readings(key) if other != chord]
    facts = (
        ("chord", chord.symbol),
        ("meaning", chord.quality),
        ("notes", listed(chord.names)),
        ("from the bass", listed(chord.names_from_bass) if chord.bass != chord.root else ""),
        ("inversion", _INVERSIONS[numeral.inversion] if chord.root else ""),
        ("counted in", str(numeral.key_in(key)) if numeral.applied_to else ""),
        ("held over", listed(numeral.suspended(key))),
        ("also read as", ", ".join(others)),
        ("outside the key", listed(name for name in chord.names if not key.contains(name))),
    )
    return Answer(
        f"{numeral} in {key}",
        rows(*facts),
        tuple(sentence(advice.message) for advice in numeral.advice(key)),
        claim("numeral", f"{numeral} in {key}", listed(chord.names)),
        _block(numeral, key, chord),
    )


def _block(numeral: Numeral, key: Key, chord: Chord) -> str | None:
    """Show the chord under its numeral; a key that is never printed holds for the numeral alone.

    A numeral that could be plainer is shown as that; None where its target could be, and for notes
    that no clef shows.
    """
    pitches = voiced(chord)
    clef = clef_for(pitches)
    if clef is None:
        return None
    for advice in numeral.advice(key):
        if numeral.applied_to is not None:
            return None
        numeral = Numeral.parse(advice.suggestion)
    label = f"key({key}) {numeral}" if key.is_theoretical else str(numeral)
    return block(
        ("key", None if key.is_theoretical else str(key)),
        ("chords", None if chord.root is None else str(chord.plain)),
        ("numerals", label),
        clef_line(clef),
        ("notes", together(pitches)),
    )
