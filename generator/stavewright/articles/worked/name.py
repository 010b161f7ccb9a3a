"""Notes that sound together: every chord they may be, the likeliest first, with the reason."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from stavewright.articles.worked.answer import Answer, rows
from stavewright.articles.worked.interval import interval_answer
from stavewright.articles.worked.pasting import (
    block,
    claim,
    clef_for,
    clef_line,
    listed,
    together,
)
from stavewright.articles.worked.question import read_at, what_and_key, words_of
from stavewright.theory.naming import Candidate, Exactness, name_chord
from stavewright.theory.other_names import respelled
from stavewright.theory.pitch import Pitch

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stavewright.theory.chord import Chord
    from stavewright.theory.key import Key

_MOST_NAMES: Final = 6
"""Names that are offered; the rest ask the reader to grant too much."""


def name_answer(
    text: str, key: Key | None = None, before: Chord | None = None, after: Chord | None = None
) -> Answer:
    """Name pitches such as `C4 E4 G#4 B4 in A minor`, between two chords if they are given.

    Raises TheoryError for what is no pitch.
    """
    what, key = what_and_key(text, key)
    pitches = sorted({read_at(text, word, at, Pitch.parse) for word, at in words_of(what)})
    found = name_chord(pitches, key, before, after)
    question = " ".join(map(str, pitches)) + (f" in {key}" if key else "")
    if not found:
        return Answer(question, (), ("These notes are no chord that has a name here.",))
    facts = [(_heading(candidate), candidate.reason) for candidate in found[:_MOST_NAMES]]
    best = found[0]
    if best.chord is None:
        return _two(question, facts, pitches)
    left = len(found) - _MOST_NAMES
    more = f"And {left} more, less likely." if left > 1 else "And one more, less likely."
    return Answer(
        question,
        rows(*facts),
        (more,) if left > 0 else (),
        _claim(best.chord, best.exactness, pitches),
        _block(best, best.chord, pitches, key),
    )


def _heading(candidate: Candidate) -> str:
    return candidate.interval.name if candidate.interval else candidate.symbol


def _two(question: str, facts: list[tuple[str, str]], pitches: Sequence[Pitch]) -> Answer:
    """Two names, whatever their octaves, or one: an interval between the outer two."""
    if len(pitches) == 1:
        return Answer(question, rows(*facts))
    pair = interval_answer(f"{pitches[0]} {pitches[-1]}")
    return Answer(question, rows(*facts), (), pair.claim, pair.block)


def _claim(chord: Chord, exactness: Exactness, pitches: Sequence[Pitch]) -> str | None:
    """State the chord's notes; of a chord that is only heard, how the notes given are spelled."""
    if chord.root is None:
        return None
    given = tuple(dict.fromkeys(pitch.name for pitch in pitches))
    sounds = {name.cents for name in chord.names_from_bass}
    if exactness is Exactness.RESPELLED and {name.cents for name in given} == sounds:
        return claim("chord", str(chord), listed(given), "≈")
    return claim("chord", str(chord), listed(chord.names_from_bass))


def _block(best: Candidate, chord: Chord, pitches: Sequence[Pitch], key: Key | None) -> str | None:
    """Show the notes under the likeliest name, in its spelling."""
    shown = sorted(_spelled(pitch, chord) for pitch in pitches)
    clef = clef_for(shown)
    if clef is None:
        return None
    printed = None if key is None or key.is_theoretical else str(key)
    return block(
        ("key", printed),
        clef_line(clef),
        ("chords", None if chord.root is None else str(chord)),
        ("numerals", str(best.numeral) if best.numeral and printed else None),
        ("notes", together(shown)),
    )


def _spelled(pitch: Pitch, chord: Chord) -> Pitch:
    """Give the pitch under the name that it has in the chord, its own if it may keep that."""
    if pitch.name in chord.names_from_bass:
        return pitch
    found = (respelled(pitch, name) for name in chord.names)
    return next((other for other in found if other is not None), pitch)
