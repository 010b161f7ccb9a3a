"""A key: its signature, its notes and chords, its relations, and other ways to write its sound."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from stavewright.articles.worked.answer import Answer, rows
from stavewright.articles.worked.pasting import block, claim, listed
from stavewright.articles.worked.question import read_at, words_of
from stavewright.theory.chord import Chord
from stavewright.theory.chord_tone import degree_interval
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import MOST_IN_PRINT, Key, Mode, Relation
from stavewright.theory.key_finding import find_keys
from stavewright.theory.key_relations import (
    EnharmonicKey,
    closely_related,
    enharmonic_keys,
    signature_words,
)
from stavewright.theory.numeral_naming import numeral_for
from stavewright.theory.pitch import Pitch, PitchName

_MOST_KEYS: Final = 5
"""Keys that are offered for notes; the rest are far behind."""
_FORMS: Final = {"harmonic form": ("7",), "melodic form": ("6", "7")}
"""What minor raises on the way up, by the name of the scale."""


def key_answer(text: str) -> Answer:
    """Work out a key such as `D# major`, or find the key of notes such as `G A B C D E F#`.

    Raises TheoryError for text that is neither.
    """
    words = words_of(text)
    if len(words) > 1 and all(_is_note(word) for word, _ in words):
        return _found(text, [read_at(text, word, at, _name) for word, at in words])
    key = Key.parse(text)
    facts = (
        ("signature", _signature(key)),
        ("notes", listed(key.names)),
        *_forms(key),
        ("chords", _chords(key)),
        ("printed", _printed(key)),
        *((each.value, str(key.related(each.value))) for each in Relation),
        ("closely related", ", ".join(map(str, closely_related(key)))),
        ("sounds like", "; ".join(_other_ways(key))),
    )
    return Answer(
        str(key),
        rows(*facts),
        _reasons(key),
        claim("key", str(key), signature_words(key)),
        _block(key),
    )


def _signature(key: Key) -> str:
    names = listed(key.signature_names)
    return signature_words(key) + (f": {names}" if names else "")


def _forms(key: Key) -> tuple[tuple[str, str], ...]:
    if key.mode is not Mode.MINOR:
        return ()
    found = []
    for name, raised in _FORMS.items():
        sharper = {int(degree): key.tonic + degree_interval(degree) for degree in raised}
        found.append((name, listed(sharper.get(n, own) for n, own in enumerate(key.names, 1))))
    return tuple(found)


def _chords(key: Key) -> str:
    """Give the triads on the seven degrees, each with its numeral."""
    shown = []
    for degree, root in enumerate(key.names):
        third, fifth = key.names[(degree + 2) % 7], key.names[(degree + 4) % 7]
        suffix = next(
            suffix
            for suffix in ("", "m", "dim", "aug")
            if Chord.on(root, suffix).names == (root, third, fifth)
        )
        chord = Chord.on(root, suffix)
        numeral = numeral_for(chord, key)
        shown.append(f"{chord} ({numeral})" if numeral else str(chord))
    return ", ".join(shown)


def _printed(key: Key) -> str:
    if not key.is_theoretical:
        return "as it is"
    return f"as {key.practical}, with {signature_words(key.practical)}"


def _other_ways(key: Key) -> list[str]:
    return [
        way.words
        for way in enharmonic_keys(key)
        if way.key != key and way.accidentals <= MOST_IN_PRINT
    ]


def _reasons(key: Key) -> tuple[str, ...]:
    found = []
    if key.is_theoretical:
        found.append(
            f"{key} is a theoretical key: a printed signature has room for {MOST_IN_PRINT} "
            "accidentals, one for each letter. It is right to think in and rarely printed."
        )
    way = EnharmonicKey(key, abs(key.signature), max(0, abs(key.signature) - MOST_IN_PRINT))
    if way.doubles:
        found.append("A double accidental in the signature counts as two.")
    if key.mode is Mode.MINOR:
        found.append(
            "Minor raises its seventh degree in the dominant, and its sixth on the way up to it; "
            "the signature shows neither."
        )
    if key.mode not in (Mode.MAJOR, Mode.MINOR):
        found.append(
            f"A mode has the signature of the major key with the same notes: "
            f"{Key.of_signature(key.signature)}."
        )
    return tuple(found)


def _block(key: Key) -> str:
    """Show the notes; the signature too, where one would be printed."""
    signature = None if key.is_theoretical else str(key)
    return block(("key", signature), ("scale", f"{key.tonic.at(4)} {key.mode}"))


def _is_note(word: str) -> bool:
    try:
        _name(word)
    except TheoryError:
        return False
    return True


def _name(word: str) -> PitchName:
    return Pitch.parse(word).name if word[-1].isdecimal() else PitchName.parse(word)


def _found(text: str, names: list[PitchName]) -> Answer:
    fits = find_keys((name, Fraction(1)) for name in names)[:_MOST_KEYS]
    facts = ((str(fit.key), fit.words.split(": ", 1)[1]) for fit in fits)
    best = fits[0]
    reasons = [
        "Each note is taken to last as long as every other; write a note again to give it weight.",
        "The method compares how long each note sounds with the profiles of Krumhansl and Kessler "
        "(1982).",
    ]
    if not best.is_clear:
        reasons.insert(0, f"{best.key} leads by too little to be named without {fits[1].key}.")
    answer = key_answer(str(best.key))
    return Answer(text, rows(*facts), tuple(reasons), answer.claim, answer.block)
