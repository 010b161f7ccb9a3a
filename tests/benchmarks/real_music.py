"""What is found in real music, and how much of it is a false alarm.

A finding that is not among those that were read (`known_findings.tsv`) counts as a false alarm.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from stavewright.checking.check import check_block
from stavewright.notation import parse_block
from tests.benchmarks.pieces import chorales, fiddle_tunes, lead_sheets
from tests.cases import rows

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stavewright.notation.finding import Finding
    from tests.benchmarks.from_music21 import Piece

KNOWN = Path(__file__).parent / "known_findings.tsv"


@dataclass(slots=True)
class Corpus:
    """The findings in one body of music."""

    name: str
    pieces: int = 0
    bars: int = 0
    labels: int = 0
    right: Counter[str] = field(default_factory=Counter)
    """Findings by rule that were read and are right."""
    false: Counter[str] = field(default_factory=Counter)
    """All others."""
    unread: list[str] = field(default_factory=list)

    def per_hundred(self, count: int) -> float:
        return 100 * count / self.bars


def measure() -> list[Corpus]:
    return [
        over("chorales with numerals", chorales()),
        over("fiddle tunes", fiddle_tunes()),
        over("tunes with chord symbols", lead_sheets()),
    ]


def over(name: str, pieces: Iterable[Piece]) -> Corpus:
    known = {
        (case["piece"], int(case["bar"]), case["rule"]): case["verdict"] for _, case in rows(KNOWN)
    }
    corpus = Corpus(name)
    for piece in pieces:
        block = parse_block(piece.text, piece.name)
        corpus.pieces += 1
        corpus.bars += piece.bars
        corpus.labels += len(block.score.chords) + len(block.score.numerals)
        for finding in check_block(block):
            place = (piece.name, piece.bar_of(finding.span.line), finding.rule)
            if known.get(place) in ("slip", "reader"):
                corpus.right[finding.rule] += 1
            else:
                corpus.false[finding.rule] += 1
                if place not in known:
                    corpus.unread.append(_said(place, finding))
    return corpus


def _said(place: tuple[str, int, str], finding: Finding) -> str:
    return f"{place[0]} bar {place[1]}: {finding.rule}: {finding.message}"
