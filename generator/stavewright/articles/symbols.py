"""Note names, chord symbols and Roman numerals in running text: how they look and how they sound.

Each is made as a `Symbol`: markup that a theme may style and that reads well without any style
(raised figures are `<sup>`), and the same in words, since a voice that reads a page aloud leaves
out signs such as ♭ or reads `65` as sixty-five.
"""

import re
from dataclasses import dataclass
from html import escape

from stavewright.figures.spoken.symbols import chord_words, numeral_words
from stavewright.figures.spoken.tones import key_words, name_words, pitch_words
from stavewright.theory import Chord, Interval, Key, Numeral, Pitch, PitchName, Scale
from stavewright.theory.chord_parts import ChordParts
from stavewright.theory.numeral import NumeralParts

_SIGNS = {"##": "𝄪", "bb": "𝄫", "#": "♯", "b": "♭"}
_ALTERATION = re.compile(r"(##|bb|#|b)(?=\d)")


@dataclass(frozen=True, slots=True)
class Symbol:
    """Something musical in a line of text."""

    markup: str
    """HTML for the eye."""
    spoken: str
    """Words for the ear."""


def plain_symbol(text: str) -> Symbol:
    """Ordinary words."""
    return Symbol(escape(text), text)


def name_symbol(name: PitchName | Pitch) -> Symbol:
    """A note: `B♭`, or with its octave `B♭4`."""
    spoken = pitch_words(name) if isinstance(name, Pitch) else name_words(name)
    return Symbol(escape(name.display), spoken)


def key_symbol(key: Key) -> Symbol:
    """A key: `G♯ major`."""
    return Symbol(escape(key.display), key_words(key))


def scale_symbol(scale: Scale) -> Symbol:
    """A scale: `D dorian`."""
    shown = scale.tonic.display
    return Symbol(escape(scale.display), scale.display.replace(shown, name_words(scale.tonic), 1))


def interval_symbol(interval: Interval) -> Symbol:
    """An interval by its name: `augmented sixth`."""
    return plain_symbol(interval.name)


def chord_symbol(chord: Chord) -> Symbol:
    """A chord symbol: `F♯m` with `7♭5` raised."""
    return Symbol(_chord_markup(chord.written_parts), chord_words(chord.parts))


def numeral_symbol(numeral: Numeral) -> Symbol:
    """A Roman numeral: `V` with its figures raised and stacked, `/V` after it."""
    return Symbol(_numeral_markup(numeral.parts), numeral_words(numeral.parts))


def with_signs(text: str) -> str:
    """Figures with their accidentals as signs: `b9` as `♭9`."""
    return _ALTERATION.sub(lambda match: _SIGNS[match[1]], text)


def _note(letter: str, accidental: str) -> str:
    """A letter with its accidental as a sign; three and more accidentals are signs in a row."""
    doubled = accidental.replace("##", "𝄪").replace("bb", "𝄫")
    return letter + doubled.replace("#", "♯").replace("b", "♭")


def _chord_markup(parts: ChordParts) -> str:
    raised = escape("".join(with_signs(piece) for piece in parts.raised))
    markup = escape(_note(parts.root, parts.accidental) + parts.quality)
    markup += f"<sup>{raised}</sup>" if raised else ""
    if parts.bass:
        markup += f"/{escape(_note(parts.bass, parts.bass_accidental))}"
    if parts.upper is not None:
        markup = (
            f'<span class="polychord"><span>{_chord_markup(parts.upper)}</span>'
            f'<span class="over">/</span><span>{markup}</span></span>'
        )
    return markup


def _numeral_markup(parts: NumeralParts) -> str:
    markup = escape(_note("", parts.accidental) + parts.body)
    markup += f"<sup>{parts.sign}</sup>" if parts.sign else ""
    markup += _figures_markup(parts)
    markup += f"<sup>{escape(with_signs(parts.extras))}</sup>" if parts.extras else ""
    for held, resolved in parts.suspensions:
        markup += f"<sup>{escape(held)}–{escape(resolved)}</sup>"
    if parts.applied_to is not None:
        markup += f"/{_numeral_markup(parts.applied_to)}"
    return markup


def _figures_markup(parts: NumeralParts) -> str:
    if not parts.figures:
        return ""
    stack = "".join(f"<span>{escape(with_signs(figure))}</span>" for figure in parts.figures)
    stacked = f'<sup class="figures">{stack}</sup>'
    return f"({stacked})" if parts.parenthesised else stacked
