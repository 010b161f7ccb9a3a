"""A chord symbol: its tones and what each is for, other ways to write it, its place in a key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from stavewright.articles.worked.answer import Answer, rows
from stavewright.articles.worked.pasting import block, claim, listed, sentence
from stavewright.articles.worked.question import read_at, what_and_key
from stavewright.articles.worked.voicing import voiced
from stavewright.theory.chord import Chord
from stavewright.theory.chord_table import suffixes
from stavewright.theory.errors import TheoryError
from stavewright.theory.naming import name_chord
from stavewright.theory.numeral_naming import numeral_for

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stavewright.theory.chord_tone import ChordTone
    from stavewright.theory.key import Key

_MOST_SYNONYMS: Final = 8
"""Other spellings that are listed; the handbook has all."""


def chord_answer(text: str, key: Key | None = None) -> Answer:
    """Work out a chord symbol such as `F#m7b5/A`, in a key if one is given; raises TheoryError.

    The key may stand in the text as well: `Am7 in C major`.
    """
    what, key = what_and_key(text, key)
    chord = read_at(text, what, 0, Chord.parse)
    plain = chord.plain
    facts = (
        ("symbol", str(plain)),
        ("meaning", plain.quality),
        ("notes", listed(chord.names)),
        ("from the bass", listed(chord.names_from_bass) if chord.bass != chord.root else ""),
        ("defining", _tones(tone for tone in chord.tones if tone.is_required)),
        ("often left out", _tones(tone for tone in chord.tones if not tone.is_required)),
        ("also written", ", ".join(_synonyms(plain))),
        ("same notes", ", ".join(_rivals(plain))),
        *_in_key(plain, key),
    )
    question = what if key is None else f"{what} in {key}"
    names = listed(chord.names_from_bass)
    shown = block(("chords", str(plain)), ("show", "staff keyboard"))
    return Answer(
        question, rows(*facts), _advice(chord, key), claim("chord", str(plain), names), shown
    )


def _tones(tones: Iterable[ChordTone]) -> str:
    return ", ".join(f"{tone.name} ({tone.degree})" for tone in tones)


def _synonyms(chord: Chord) -> list[str]:
    """Give other spellings of the suffix on the chord's root; none for a chain of alterations."""
    if chord.root is None or chord.upper is not None:
        return []
    row = next((row for row in suffixes() if row.canonical == chord.suffix), None)
    slash = f"/{chord.bass}" if chord.bass != chord.root else ""
    written = [f"{chord.root}{synonym}{slash}" for synonym in (row.synonyms if row else ())]
    return [each for each in written if _means(each, chord)][:_MOST_SYNONYMS]


def _means(text: str, chord: Chord) -> bool:
    try:
        return Chord.parse(text) == chord
    except TheoryError:
        return False


def _rivals(chord: Chord) -> list[str]:
    """Give the other chords that are spelled by just these notes over the same bass."""
    own = set(chord.names_from_bass)
    return [
        found.symbol
        for found in name_chord(voiced(chord))
        if found.chord is not None
        and found.chord != chord
        and set(found.chord.names_from_bass) == own
    ]


def _in_key(chord: Chord, key: Key | None) -> tuple[tuple[str, str], ...]:
    if key is None:
        return ()
    respelled = chord.respelled(key)
    numeral = numeral_for(respelled, key)
    outside = [name for name in respelled.names_from_bass if not key.contains(name)]
    return (
        ("as the key spells it", "" if respelled == chord else str(respelled)),
        ("numeral", str(numeral) if numeral else "none: numerals have no word for it"),
        ("outside the key", listed(outside)),
    )


def _advice(chord: Chord, key: Key | None) -> tuple[str, ...]:
    found = [
        f"{each.what!r} may go: {each.meaning}; {each.suggestion} says the same."
        for each in chord.redundancies
    ]
    found += [sentence(rule.words) for rule in chord.voicing_rules]
    if chord.has_foreign_bass:
        found.append(f"The bass {chord.bass} is none of the chord's notes.")
    if key is not None and (numeral := numeral_for(chord.respelled(key), key)):
        found += [sentence(advice.message) for advice in numeral.advice(key)]
    return tuple(found)
