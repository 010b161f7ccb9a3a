"""Clean music in which mistakes are planted: blocks in which nothing is found."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from stavewright.checking.check import check_block
from stavewright.notation import parse_block
from tests.benchmarks.pieces import chorales, fiddle_tunes, lead_sheets
from tests.checking.block_cases import read_blocks

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stavewright.notation.score import NumeralEvent
    from tests.benchmarks.from_music21 import Piece

TESTS = Path(__file__).parents[1]
CONTENT = TESTS.parent / "content"
_BARS = 4
_FENCE = re.compile(r"^```music[^\n]*\n(.*?)^```", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True, slots=True)
class Material:
    """A block and where it comes from."""

    name: str
    text: str
    source: str
    """`chorale`, `fixture`, `handbook`, `tune`."""


@cache
def clean() -> tuple[Material, ...]:
    """All material, in a fixed order; a block that anything is found in is left out."""
    return tuple(each for each in (*_small(), *_chorales(), *_tunes()) if _is_clean(each.text))


@cache
def clean_small() -> tuple[Material, ...]:
    """The material that needs no reader of other formats."""
    return tuple(each for each in _small() if _is_clean(each.text))


def _is_clean(text: str) -> bool:
    return not check_block(parse_block(text))


def _small() -> Iterator[Material]:
    for path in sorted((TESTS / "checking/data/blocks").glob("fine_*.txt")):
        for case in read_blocks(path):
            yield Material(case.title, case.text + "\n", "fixture")
    for path in sorted(CONTENT.rglob("*.md")):
        for number, found in enumerate(_FENCE.finditer(path.read_text(encoding="utf-8")), 1):
            yield Material(f"{path.relative_to(CONTENT)} {number}", found[1], "handbook")


def _chorales() -> Iterator[Material]:
    """Four bars at a time, with numerals, with chord symbols, and with both."""
    for piece in chorales():
        for first in range(1, piece.bars - _BARS + 2, _BARS):
            text = excerpt(piece, first, first + _BARS - 1)
            if not _is_clean(text):
                continue
            name = f"{piece.name} from bar {first}"
            both = text + symbols_for_numerals(text)
            alone = "".join(
                line for line in both.splitlines(keepends=True) if not line.startswith("numerals:")
            )
            yield Material(name, text, "chorale")
            yield Material(f"{name}, symbols", alone, "chorale")
            yield Material(f"{name}, both", both, "chorale")


def _tunes() -> Iterator[Material]:
    for piece in (*lead_sheets(), *fiddle_tunes(15)):
        yield Material(piece.name, piece.text, "tune")


def excerpt(piece: Piece, first: int, last: int) -> str:
    """Some bars of a piece; the numerals go on in the key that holds there."""
    lines = []
    before = ""
    opened = False
    for line, bar in zip(piece.text.splitlines(), piece.line_bars, strict=True):
        keys = re.findall(r"key\([^)]*\)", line) if line.startswith("numerals:") else []
        if bar == 0 and (first == 1 or not line.startswith("pickup:")):
            lines.append(line)
        elif first <= bar <= last:
            if line.startswith("numerals:") and not opened:
                opened = True
                if before and not line.startswith("numerals: key("):
                    line = line.replace("numerals: ", f"numerals: {before} ", 1)
            lines.append(line)
        if bar < first and keys:
            before = keys[-1]
    return "\n".join(lines) + "\n"


def symbols_for_numerals(text: str) -> str:
    """The chord line that says what the numerals say; a gap where no symbol can."""
    block = parse_block(text)
    said = {
        (event.span.line, event.span.column): _symbol(event)
        for event in block.score.numerals
        if event.span is not None
    }
    lines = []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.startswith("numerals:"):
            continue
        words = []
        for word in re.finditer(r"key\([^)]*\)|\S+", line.removeprefix("numerals:")):
            place = (number, word.start() + len("numerals:") + 1)
            if not word[0].startswith("key("):
                words.append(said.get(place, word[0]))
        lines.append("chords: " + " ".join(words) + "\n")
    return "".join(lines)


def _symbol(event: NumeralEvent) -> str:
    if event.numeral is None or event.key is None:
        return "rest"
    chord = event.numeral.chord(event.key)
    return "rest" if chord.root is None else chord.symbol
