"""What could be written at a place in a music block."""

import re
from collections.abc import Callable
from typing import Final

from stavewright.checking.registry import BLOCK_RULES
from stavewright.editors.block_lines import BlockLine, block_line, value_before
from stavewright.editors.document import Document
from stavewright.editors.suggest import (
    Completion,
    Kind,
    chord_symbols,
    drum_names,
    key_names,
    modes_of,
    numerals_in,
    of_names,
    of_words,
    scale_names,
)
from stavewright.editors.words import of_rule
from stavewright.notation import Block
from stavewright.notation.clefs import CLEFS
from stavewright.notation.finding import Severity
from stavewright.notation.vocabulary import (
    DYNAMICS,
    EVENT_WORDS,
    FIELDS,
    LINES,
    STYLES,
    SUFFIXES,
    VIEWS,
)
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key

_WORD_BEFORE: Final = re.compile(r"[\w-]*$")
_SYMBOL_BEFORE: Final = re.compile(r"[^\s|\"&]*$")
_MARK_BEFORE: Final = re.compile(r"[\w)*_]\.(?P<word>[a-z]*)$")
_IN_BRACKETS: Final = re.compile(r"\b(?P<word>key|time|clef|dynamic)\((?P<value>[^()]*)$")
_LOCAL_KEY: Final = re.compile(r"\bkey\(([^()]*)\)")
_ROOT: Final = re.compile(r"(?P<root>[A-G](?:##?|bb?|x)?)")
_TONIC: Final = re.compile(r"\s*(?P<tonic>[A-G](?:##?|bb?|x)?-?\d*)\s+(?P<rest>.*)$")
_TIMES: Final = (
    ("4/4", "four quarters"),
    ("3/4", "three quarters"),
    ("2/4", "two quarters"),
    ("6/8", "two dotted quarters"),
    ("9/8", "three dotted quarters"),
    ("12/8", "four dotted quarters"),
    ("2/2", "two halves"),
    ("5/8", "five eighths"),
    ("7/8", "seven eighths"),
    ("common", "4/4, printed as a sign"),
    ("cut", "2/2, printed as a sign"),
)
_SHAPES: Final = {
    "tempo": (("1/4 at 96", "quarters a minute"), ("3/8 at 60", "dotted quarters a minute")),
    "swing": (("1/8 2:1", "eighths, long to short"), ("1/16 2:1", "sixteenths, long to short")),
    "pickup": (("1/4", "one quarter"), ("1/8", "one eighth"), ("3/8", "three eighths")),
    "tuning": (("A4 440", "concert pitch, ISO 16"), ("A4 442", ""), ("24 equal", "quarter tones")),
    "strings": (("E2 A2 D3 G3 B3 E4", "guitar"), ("E1 A1 D2 G2", "bass guitar")),
}


def in_block(document: Document, block: Block, line: int, column: int) -> tuple[Completion, ...]:
    """What could be written at a place whose line stands in a block."""
    begins = document.begins_at(block, line)
    before = document.line(line)[begins - 1 : column - 1]
    written = block_line(document, block, line)
    if re.fullmatch(r"[\w-]*", before) and (written is None or not written.is_continued):
        return tuple(_openings(block, begins))
    if written is None or column < written.value_column:
        return ()
    value = value_before(document, block, line, column)
    if written.is_timed:
        return tuple(_events(block, written, value, column))
    suggest = _FIELDS.get(written.word)
    return tuple(suggest(value, column)) if suggest else ()


def _openings(block: Block, start: int) -> list[Completion]:
    """Fields that are still to be said, lines, and the voices of the block."""
    said = {word for word, _ in block.score.field_spans}
    fields = [word for word in FIELDS if word.repeats or word.name not in said]
    declared = {name for staff in block.score.staves if staff.declared for name in staff.voices}
    lines = [word for word in LINES if word.name != "notes" or not declared]
    voices = of_names([(name, "a voice of this block") for name in sorted(declared)], start)
    return [
        *[_opening(voice) for voice in voices],
        *of_words(fields, start, Kind.FIELD, ": "),
        *of_words(lines, start, Kind.FIELD, ": "),
    ]


def _opening(voice: Completion) -> Completion:
    return Completion(voice.label, f"{voice.label}: ", voice.start, Kind.FIELD, voice.detail)


def _events(block: Block, written: BlockLine, value: str, column: int) -> list[Completion]:
    if match := _IN_BRACKETS.search(value):
        inside = _BRACKETS[match["word"]]
        return inside(match["value"], column)
    if match := _MARK_BEFORE.search(value):
        marks = [word for word in SUFFIXES if word.name.startswith(".")]
        return of_words(marks, column - len(match["word"]) - 1, Kind.WORD)
    if written.word == "chords":
        return _chords(block, value, column)
    if written.word == "numerals":
        return _numerals(block, value, column)
    start = column - len(_before(_WORD_BEFORE, value))
    if written.word in {"words", "bass-figures"}:
        return of_words([EVENT_WORDS[0]], start, Kind.WORD)
    drums = of_names(drum_names(), start) if _is_drums(block, written.word) else []
    return [*drums, *of_words(EVENT_WORDS, start, Kind.WORD)]


def _before(pattern: re.Pattern[str], value: str) -> str:
    match = pattern.search(value)
    return match[0] if match else ""


def _is_drums(block: Block, word: str) -> bool:
    return any(word in staff.voices and staff.clef in _KITS for staff in block.score.staves)


_KITS: Final = frozenset({"percussion", "drums"})


def _chords(block: Block, value: str, column: int) -> list[Completion]:
    typed = _before(_SYMBOL_BEFORE, value)
    start = column - len(typed)
    if match := _ROOT.match(typed):
        return chord_symbols(match["root"], start)
    found: dict[str, Completion] = {}
    if block.score.key:
        for each in numerals_in(block.score.key, start):
            symbol, _, notes = each.detail.partition(": ")
            if "/" not in symbol:
                detail = f"{each.label}: {notes}"
                found.setdefault(symbol, Completion(symbol, symbol, start, Kind.VALUE, detail))
    return list(found.values())


def _numerals(block: Block, value: str, column: int) -> list[Completion]:
    start = column - len(_before(_SYMBOL_BEFORE, value).rpartition("=")[2])
    key = block.score.key
    for match in _LOCAL_KEY.finditer(value):
        try:
            key = Key.parse(match[1])
        except TheoryError:
            continue
    return numerals_in(key, start) if key else []


def of_keys(value: str, column: int) -> list[Completion]:
    """Names of keys; after a tonic, the modes it can have."""
    if match := _TONIC.match(value):
        return of_names(modes_of(match["tonic"]), column - len(match["rest"]))
    return of_names(key_names(), column - len(value.lstrip()))


def of_scales(value: str, column: int) -> list[Completion]:
    """After a tonic, the scales that are known by name."""
    match = _TONIC.match(value)
    return of_names(scale_names(), column - len(match["rest"])) if match else []


def _of_rules(value: str, column: int) -> list[Completion]:
    if " " in value.strip():
        return []
    start = column - len(value.lstrip())
    return [
        Completion(
            rule.id, f"{rule.id} because ", start, Kind.RULE, rule.severity.value, of_rule(rule)
        )
        for rule in sorted(BLOCK_RULES, key=lambda rule: rule.severity is Severity.ADVICE)
        # What cannot be read is silent in the figure; no reason makes that true to a reader.
        if rule.id != "syntax"
    ]


def _of_clefs(value: str, column: int, after: str = "") -> list[Completion]:
    start = column - len(_before(re.compile(r"[\w+-]*$"), value))
    return [
        Completion(clef.name, clef.name + after, start, Kind.VALUE, clef.meaning)
        for clef in CLEFS.values()
    ]


def _of_staves(value: str, column: int) -> list[Completion]:
    # Inside the brackets stand names that are the author's own.
    return [] if value.count("(") > value.count(")") else _of_clefs(value, column, "(")


def _of_views(value: str, column: int) -> list[Completion]:
    start = column - len(_before(_WORD_BEFORE, value))
    return of_names([(word.name, word.meaning) for word in VIEWS], start)


def _of_styles(value: str, column: int) -> list[Completion]:
    return of_words(STYLES, column - len(_before(_WORD_BEFORE, value)), Kind.VALUE)


def _shapes(names: tuple[tuple[str, str], ...]) -> Callable[[str, int], list[Completion]]:
    return lambda value, column: of_names(names, column - len(value.lstrip()))


_FIELDS: Final[dict[str, Callable[[str, int], list[Completion]]]] = {
    "key": of_keys,
    "scale": of_scales,
    "time": _shapes(_TIMES),
    "clef": _of_clefs,
    "staves": _of_staves,
    "show": _of_views,
    "style": _of_styles,
    "accept": _of_rules,
    **{word: _shapes(names) for word, names in _SHAPES.items()},
}
_BRACKETS: Final[dict[str, Callable[[str, int], list[Completion]]]] = {
    "key": of_keys,
    "time": _shapes(_TIMES),
    "clef": _of_clefs,
    "dynamic": _shapes(tuple((name, "") for name in DYNAMICS)),
}
