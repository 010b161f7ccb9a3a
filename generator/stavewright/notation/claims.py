"""Reads claims in prose."""

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Final, TypeVar

from stavewright.notation.claim import (
    Accidentals,
    Between,
    Claim,
    Frequency,
    KeyNumber,
    Names,
    Noun,
    NumeralIn,
    RelatedKey,
    Sign,
    Statement,
    Subject,
)
from stavewright.notation.claim_slips import refuse_slip
from stavewright.notation.claim_values import read_size, read_values
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.passage import Passage, Stretch
from stavewright.notation.report import sentence
from stavewright.notation.source import SourceText
from stavewright.theory.chord import Chord
from stavewright.theory.errors import TheoryError
from stavewright.theory.interval import Interval
from stavewright.theory.key import Key, Relation
from stavewright.theory.numeral import Numeral
from stavewright.theory.pitch import Pitch, PitchName
from stavewright.theory.scale import Scale

__all__ = ["Claim", "parse_claim"]

T = TypeVar("T")
_OPENING: Final = re.compile(rf"\s*(?P<noun>{'|'.join(noun.value for noun in Noun)}):")
_SIGN: Final = re.compile(r"!=|~=|≠|≈|=")
_SIGNS: Final = {
    "=": Sign.EQUAL,
    "≠": Sign.UNEQUAL,
    "!=": Sign.UNEQUAL,
    "≈": Sign.SOUNDS_LIKE,
    "~=": Sign.SOUNDS_LIKE,
}
_LONGEST: Final = 400
"""A claim is a phrase; what is longer is code."""
_HERTZ: Final = re.compile(r"(?P<whole>\d{1,6})(?:[.](?P<part>\d{1,6}))?\s*(?:Hz|hertz)")
_KEY_NUMBER: Final = re.compile(r"(?:MIDI\s+)?(?:key|note)(?:\s+number)?\s+(?P<number>\d{1,3})")
_ACCIDENTALS: Final = re.compile(r"(?P<count>\d{1,3}|no|one)\s+(?P<sign>sharp|flat|accidental)s?")
_NONE: Final = re.compile(r"no\s+(?:sharps?\s+(?:or|and)\s+flats?|signature)")
_RELATED: Final = re.compile(
    r"(?:the\s+)?(?P<relation>relative|parallel|dominant|subdominant)"
    r"(?:\s+(?:major|minor|key))?\s+of\s+(?P<key>\S.*)"
)


class _Part:
    """One side of a claim: a stretch of the passage, without the spaces around it."""

    def __init__(self, passage: Passage, start: int, end: int) -> None:
        inner = passage.text[start:end]
        self.passage = passage
        self.start = start + len(inner) - len(inner.lstrip())
        self.end = max(self.start, start + len(inner.rstrip()))
        self.text = passage.text[self.start : self.end]
        self.span = passage.span(self.start, self.end)


def parse_claim(source: SourceText | str, file: str = "claim") -> Claim | None:
    """Read the text of a code span; None for plain code.

    The lines of a SourceText are read as one text with nothing between them. A span with a sign is
    a claim even where it cannot be read: its `problem` then says what is wrong.
    """
    if isinstance(source, str):
        source = SourceText.plain(source, file)
    stretches = [Stretch(line, 0, len(line.text)) for line in source.lines]
    passage = Passage(source.file, stretches, joint="")
    opening = _OPENING.match(passage.text)
    if opening is None or len(passage.text) > _LONGEST:
        return None
    noun = Noun(opening["noun"])
    sign = _SIGN.search(passage.text, opening.end())
    subject = _Part(passage, opening.end(), sign.start() if sign else len(passage.text))
    if sign is None:
        return _bare(noun, subject)
    return _stated(noun, subject, sign)


def _bare(noun: Noun, subject: _Part) -> Claim | None:
    try:
        meaning = _SUBJECTS[noun](subject)
    except TheoryError:
        return None
    passage = subject.passage
    return Claim(noun, passage.written, passage.whole, subject.text, subject.span, meaning)


def _stated(noun: Noun, subject: _Part, sign: re.Match[str]) -> Claim:
    passage = subject.passage
    statement = _Part(passage, sign.end(), len(passage.text))
    meaning: Subject | None = None
    said: Statement | None = None
    problem: Finding | None = None
    try:
        refuse_slip(noun, subject.text)
        meaning = _SUBJECTS[noun](subject)
        refuse_slip(noun, statement.text)
        said = _STATEMENTS[noun](statement, meaning)
    except TheoryError as error:
        part = subject if meaning is None else statement
        first = min(part.start + error.start, part.end)
        last = min(max(part.start + error.end, first), part.end)
        span = passage.span(first, last)
        message = sentence(error.message)
        problem = Finding("claim", Severity.ERROR, span, message, error.suggestion)
    return Claim(
        noun,
        passage.written,
        passage.whole,
        subject.text,
        subject.span,
        meaning,
        _SIGNS[sign[0]],
        statement.text,
        statement.span,
        said,
        problem,
    )


def _read(part: _Part, parse: Callable[[str], T]) -> T:
    if not part.text:
        raise TheoryError("Here stands nothing; a claim has something on either side of its sign")
    return parse(part.text)


def _note(part: _Part) -> Pitch | PitchName:
    return _read(part, _pitch_or_name)


def _pitch_or_name(text: str) -> Pitch | PitchName:
    if text[-1:].isdecimal():
        return Pitch.parse(text)
    return PitchName.parse(text)


def _interval(part: _Part) -> Between | Interval:
    between = _between(part)
    return between or _read(part, _named_interval)


def _named_interval(text: str) -> Interval:
    article = re.match(r"an?\s+", text)
    start = article.end() if article else 0
    try:
        return Interval.parse(text[start:])
    except TheoryError as error:
        raise error.within(text, start) from None


def _between(part: _Part) -> Between | None:
    match = re.fullmatch(r"(?P<low>\S+)\s+to\s+(?P<high>\S+)", part.text)
    if match is None:
        return None
    notes = []
    for side in ("low", "high"):
        try:
            notes.append(_pitch_or_name(match[side]))
        except TheoryError as error:
            raise error.within(part.text, match.start(side)) from None
    low, high = notes
    if isinstance(low, Pitch) is not isinstance(high, Pitch):
        raise TheoryError("Either both notes have an octave or neither has", part.text)
    return Between(low, high)


def _numeral(part: _Part) -> NumeralIn:
    match = re.fullmatch(r"(?P<numeral>\S+)\s+in\s+(?P<key>\S.*)", part.text)
    if match is None:
        end = len(part.text)
        raise TheoryError("A numeral is read in a key, as in V7 in C minor", part.text, 0, end)
    try:
        numeral = Numeral.parse(match["numeral"])
    except TheoryError as error:
        raise error.within(part.text, 0) from None
    try:
        key = Key.parse(match["key"])
    except TheoryError as error:
        raise error.within(part.text, match.start("key")) from None
    try:
        numeral.chord(key)
    except TheoryError as error:
        end = match.end("numeral")
        raise TheoryError(error.message, part.text, 0, end, error.repaired) from None
    return NumeralIn(numeral, key)


def _names(part: _Part) -> Names | None:
    """Read a list of two note names or more; None where the text is one word."""
    words = list(re.finditer(r"[^\s,]+", part.text))
    if len(words) < 2:
        return None
    names = []
    for word in words:
        try:
            names.append(PitchName.parse(word[0]))
        except TheoryError as error:
            raise error.within(part.text, word.start()) from None
    spans = tuple(
        part.passage.span(part.start + word.start(), part.start + word.end()) for word in words
    )
    return Names(tuple(names), spans)


def _of_note(part: _Part, _: Subject) -> Statement:
    if match := _HERTZ.fullmatch(part.text):
        digits = match["part"] or ""
        return Frequency(Fraction(f"{match['whole']}.{digits or 0}"), len(digits))
    if match := _KEY_NUMBER.fullmatch(part.text):
        return KeyNumber(int(match["number"]))
    return _note(part)


def _of_interval(part: _Part, _: Subject) -> Statement:
    return read_size(part.text) or _interval(part)


def _of_scale(part: _Part, _: Subject) -> Statement:
    return _either(part, Scale.parse)


def _of_chord(part: _Part, _: Subject) -> Statement:
    return _names(part) or _read(part, Chord.parse)


def _of_numeral(part: _Part, subject: Subject) -> Statement:
    if re.search(r"\sin\s", part.text):
        return _numeral(part)
    if names := _names(part):
        return names
    try:
        return _read(part, Chord.parse)
    except TheoryError as error:
        try:
            numeral = Numeral.parse(part.text)
            if isinstance(subject, NumeralIn):
                numeral.chord(subject.key)
                return NumeralIn(numeral, subject.key)
        except TheoryError:
            pass
        raise error from None


def _of_key(part: _Part, _: Subject) -> Statement:
    if _NONE.fullmatch(part.text):
        return Accidentals(0)
    if match := _ACCIDENTALS.fullmatch(part.text):
        count = {"no": 0, "one": 1}.get(match["count"])
        number = int(match["count"]) if count is None else count
        if match["sign"] == "accidental" and number:
            raise TheoryError("Say sharps or flats", part.text, *match.span("sign"))
        return Accidentals(-number if match["sign"] == "flat" else number)
    if match := _RELATED.fullmatch(part.text):
        try:
            key = Key.parse(match["key"])
        except TheoryError as error:
            raise error.within(part.text, match.start("key")) from None
        return RelatedKey(Relation(match["relation"]), key)
    return _either(part, Key.parse)


def _either(part: _Part, parse: Callable[[str], Scale | Key]) -> Statement:
    """A list of names, or one named thing of two words; the error is that of the likelier."""
    words = part.text.replace(",", " ").split()
    if len(words) > 1 and not re.fullmatch(r"[A-Ha-h][#b♯♭x𝄪𝄫]*(?:\([+-]\d+\))?", words[1]):
        return _read(part, parse)
    return _names(part) or _read(part, parse)


_SUBJECTS: Final[dict[Noun, Callable[[_Part], Subject]]] = {
    Noun.NOTE: _note,
    Noun.INTERVAL: _interval,
    Noun.SCALE: lambda part: _read(part, Scale.parse),
    Noun.KEY: lambda part: _read(part, Key.parse),
    Noun.CHORD: lambda part: _read(part, Chord.parse),
    Noun.NUMERAL: _numeral,
    Noun.RHYTHM: lambda part: _read(part, read_values),
}
_STATEMENTS: Final[dict[Noun, Callable[[_Part, Subject], Statement]]] = {
    Noun.NOTE: _of_note,
    Noun.INTERVAL: _of_interval,
    Noun.SCALE: _of_scale,
    Noun.KEY: _of_key,
    Noun.CHORD: _of_chord,
    Noun.NUMERAL: _of_numeral,
    Noun.RHYTHM: lambda part, _: _read(part, read_values),
}
