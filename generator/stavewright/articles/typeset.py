"""Claims in prose as HTML: `chord: F7 = F A C Eb` with its signs, raised figures and relation.

The whole claim has one label in words, because a voice that reads the page aloud would leave out
♭, read `65` as sixty-five and say nothing of the sign between the two sides.
"""

from collections.abc import Callable, Iterable
from html import escape
from typing import Final, TypeVar

from stavewright.articles.symbols import (
    Symbol,
    chord_symbol,
    interval_symbol,
    key_symbol,
    name_symbol,
    numeral_symbol,
    plain_symbol,
    scale_symbol,
)
from stavewright.figures.spoken.tones import value_words
from stavewright.notation.claim import (
    Between,
    Claim,
    Names,
    NumeralIn,
    RelatedKey,
    Sign,
    Statement,
    Subject,
    Values,
)
from stavewright.theory import Chord, Interval, Key, Pitch, PitchName, Scale

T = TypeVar("T")
_SIGN_WORDS: Final = {
    Sign.EQUAL: "is",
    Sign.UNEQUAL: "is not",
    Sign.SOUNDS_LIKE: "sounds like",
}


def typeset_claim(claim: Claim, sound: str | None = None) -> str:
    """A claim as HTML that stands in a line of text; one that cannot be read stays as it is.

    `sound` is what the player needs to make it heard; a page without scripts does not show it.
    """
    kind = f"claim claim-{claim.noun.value}"
    if claim.subject is None or (claim.sign is not None and claim.statement is None):
        return f'<code class="{kind}">{escape(claim.text)}</code>'
    parts = [_symbol(claim.subject, claim.subject_text)]
    if claim.sign is not None and claim.statement is not None:
        parts.append(_relation(claim.sign))
        parts.append(_symbol(claim.statement, claim.statement_text))
    whole = _joined(parts, " ", " ")
    heard = "" if sound is None else f' data-sound="{escape(sound)}"'
    label = escape(whole.spoken)
    return f'<span class="{kind}" role="img" aria-label="{label}"{heard}>{whole.markup}</span>'


def _relation(sign: Sign) -> Symbol:
    return Symbol(f'<span class="relation">{sign.value}</span>', _SIGN_WORDS[sign])


def _joined(symbols: Iterable[Symbol], between: str, said: str) -> Symbol:
    listed = list(symbols)
    return Symbol(
        between.join(symbol.markup for symbol in listed),
        said.join(symbol.spoken for symbol in listed),
    )


def _symbol(meaning: Subject | Statement, text: str) -> Symbol:
    """One side of a claim; numbers, sizes and frequencies are set as they were written."""
    for kind, make in _MAKERS:
        if isinstance(meaning, kind):
            return make(meaning)
    if isinstance(meaning, Values):
        spoken = " plus ".join(value_words(value) for value in meaning.values)
        return Symbol(escape(text.replace("*", "×")), spoken)
    return plain_symbol(" ".join(text.split()))


def _between(between: Between) -> Symbol:
    return _joined([name_symbol(between.low), name_symbol(between.high)], " to ", " to ")


def _names(names: Names) -> Symbol:
    return _joined(map(name_symbol, names.names), " ", ", ")


def _numeral_in(numeral: NumeralIn) -> Symbol:
    return _joined([numeral_symbol(numeral.numeral), key_symbol(numeral.key)], " in ", " in ")


def _related_key(related: RelatedKey) -> Symbol:
    relation = plain_symbol(f"{related.relation.value} of")
    return _joined([relation, key_symbol(related.key)], " ", " ")


def _row(kind: type[T], make: Callable[[T], Symbol]) -> tuple[type, Callable[..., Symbol]]:
    """A row of the table below, its two halves checked against each other."""
    return kind, make


_MAKERS: Final = (
    _row(Pitch, name_symbol),
    _row(PitchName, name_symbol),
    _row(Interval, interval_symbol),
    _row(Key, key_symbol),
    _row(Scale, scale_symbol),
    _row(Chord, chord_symbol),
    _row(Between, _between),
    _row(Names, _names),
    _row(NumeralIn, _numeral_in),
    _row(RelatedKey, _related_key),
)
