"""What stands under the cursor in a music block."""

import re
from collections.abc import Iterator
from contextlib import suppress
from fractions import Fraction
from typing import Final

from stavewright.checking.registry import BLOCK_RULES
from stavewright.editors.answers import (
    of_chord,
    of_key,
    of_meter,
    of_numeral,
    of_scale,
    of_sound,
    of_value,
)
from stavewright.editors.block_lines import BlockLine, block_line
from stavewright.editors.document import Document
from stavewright.editors.spans import holds, word_at
from stavewright.editors.words import escaped, of_rule, of_word
from stavewright.notation import Block
from stavewright.notation.clefs import CLEFS
from stavewright.notation.score import Event, Head, Score
from stavewright.notation.source import Span
from stavewright.notation.vocabulary import (
    EVENT_WORDS,
    FIELDS,
    LINES,
    STYLES,
    SUFFIXES,
    VIEWS,
    Word,
)
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key
from stavewright.theory.numeral import Numeral

_VALUE: Final = re.compile(r"(?<![\w/@+-])[1-9]\d{0,3}/[1-9]\d{0,3}(?![\w/])")
_KEY_CHANGE: Final = re.compile(r"\bkey\((?P<key>[^()]*)\)(?:=(?P<pivot>[^\s|\"]+))?")
_RULES: Final = {rule.id: rule for rule in BLOCK_RULES}
_HEADS: Final = {word.name: word for word in (*FIELDS, *LINES)}
_WORDS_OF: Final = {"show": VIEWS, "style": STYLES}
_Found = tuple[Span, str]


def in_block(document: Document, block: Block, line: int, column: int) -> _Found | None:
    """The stretch under a place in a block and what it is; None where there is nothing to say."""
    for found in _all(document, block, line, column):
        if found[1]:
            return found
    return None


def _all(document: Document, block: Block, line: int, column: int) -> Iterator[_Found]:
    yield from _symbols(block.score, line, column)
    yield from _sounds(block.score, line, column)
    written = block_line(document, block, line)
    if written is None:
        return
    yield from _opening(block, written, line, column)
    if written.is_timed:
        yield from _changes(document, block.score, line, column)
    yield from _words(document, written, line, column)
    yield from _fields(block.score, line, column)


def _symbols(score: Score, line: int, column: int) -> Iterator[_Found]:
    for chord in score.chords:
        if chord.span and chord.chord and holds(chord.span, line, column):
            yield chord.span, of_chord(chord.chord, score.key_at(chord.start)) or ""
    for event in score.numerals:
        if event.span and event.numeral and holds(event.span, line, column):
            yield event.span, of_numeral(event.numeral, event.key) or ""


def _sounds(score: Score, line: int, column: int) -> Iterator[_Found]:
    hertz = score.tuning.hertz if score.tuning else None
    for voice in score.voices:
        for event in voice.events:
            for head in _heads(event):
                if head.span and holds(head.span, line, column):
                    yield head.span, of_sound(head.sound, hertz) or ""


def _heads(event: Event) -> Iterator[Head]:
    for grace in event.graces:
        yield from grace.heads
    yield from event.heads


def _opening(block: Block, written: BlockLine, line: int, column: int) -> Iterator[_Found]:
    """The word that opens a line."""
    span = Span(block.source.file, line, written.column, written.column + len(written.word))
    if not written.is_continued and holds(span, line, column):
        voice = next((v for v in block.score.voices if v.name == written.word), None)
        if written.word in _HEADS:
            yield span, of_word(_HEADS[written.word])
        elif voice is not None:
            clef = block.score.staves[voice.staff].clef
            yield span, f"**{escaped(voice.name)}**: a voice on the {clef} staff"


def _words(document: Document, written: BlockLine, line: int, column: int) -> Iterator[_Found]:
    """A word of the language, or a note value, at the place."""
    text = document.line(line)
    for match in _VALUE.finditer(text, written.value_column - 1) if written.is_timed else ():
        if match.start() + 1 <= column <= match.end() + 1:
            span = Span(document.article.path, line, match.start() + 1, match.end() + 1)
            yield span, of_value(Fraction(match[0]))
    start, end = word_at(text, column, "-+")
    span = Span(document.article.path, line, start, end)
    word = text[start - 1 : end - 1]
    if written.word == "accept" and word in _RULES:
        yield span, of_rule(_RULES[word])
    if word in CLEFS and (
        written.word in {"clef", "staves"} or text[: start - 1].endswith("clef(")
    ):
        clef = CLEFS[word]
        yield span, f"**{word}**: {clef.sign} clef on line {clef.line}; {clef.meaning}"
    suffixed = f".{word}" if text[start - 2 : start - 1] == "." else None
    for known in _table(written):
        if known.name in {word, suffixed}:
            yield span, of_word(known)


def _table(written: BlockLine) -> tuple[Word, ...]:
    if written.is_timed:
        return (*EVENT_WORDS, *SUFFIXES)
    return _WORDS_OF.get(written.word, ())


def _changes(document: Document, score: Score, line: int, column: int) -> Iterator[_Found]:
    """A key in brackets, in voices and among the numerals, and the numeral of a pivot."""
    for match in _KEY_CHANGE.finditer(document.line(line)):
        for name in ("key", "pivot"):
            start, end = match.span(name)
            if not start < column <= end + 1:
                continue
            span = Span(document.article.path, line, start + 1, end + 1)
            with suppress(TheoryError):
                key = Key.parse(match["key"])
                said = of_key(key) if name == "key" else of_numeral(Numeral.parse(match[name]), key)
                yield span, said or ""
    for turn in score.meter_changes:
        if turn.span and holds(turn.span, line, column):
            yield turn.span, of_meter(turn.meter)


def _fields(score: Score, line: int, column: int) -> Iterator[_Found]:
    for word, span in score.field_spans:
        if not holds(span, line, column):
            continue
        if word == "key" and score.key:
            yield span, of_key(score.key) or ""
        elif word == "scale" and score.scale:
            yield span, of_scale(score.scale) or ""
        elif word == "time" and score.meter:
            yield span, of_meter(score.meter)
