"""Brings every piece of two corpora in, checks and engraves it, and prints a table.

    python -m tests.benchmarks.imported                    all of both corpora (hours)
    python -m tests.benchmarks.imported --every 20         every twentieth piece
    python -m tests.benchmarks.imported musicxml --compare --every 10

`--compare` holds what sounds against music21's reading of the same file (for MEI, of the file that
was converted). Needs music21 and its corpora. Nothing is written to disk.
"""

from __future__ import annotations

import argparse
import re
import time
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from stavewright.checking import check_block
from stavewright.figures.engraver import Pool
from stavewright.figures.figure import EngravingFault
from stavewright.figures.staff import jobs, sheet_of
from stavewright.importing import CannotImportError, excerpt_of, read_piece
from stavewright.importing.importer import slice_of
from stavewright.notation import parse_block
from stavewright.notation.finding import Severity
from tests.importing import sounding
from tests.importing.corpora import MUSICXML, OTHERS, as_mei, name_of, paths

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from stavewright.importing.importer import Imported
    from stavewright.importing.model import Piece
    from stavewright.notation import Block

CORPORA = ("musicxml", "mei")
EXCERPT = 16
"""Bars of an excerpt that is drawn; whole movements are no figures."""


@dataclass(slots=True)
class Tally:
    """What came of one corpus."""

    pieces: int = 0
    bars: int = 0
    seconds: float = 0
    """Of reading and writing alone."""
    left: Counter[str] = field(default_factory=Counter)
    """Kinds of what is not carried over, by pieces."""
    excerpts: int = 0
    excerpt_errors: Counter[str] = field(default_factory=Counter)
    errors: Counter[str] = field(default_factory=Counter)
    """Findings that are errors, by rule."""
    with_errors: Counter[str] = field(default_factory=Counter)
    """Pieces that have them, by rule."""
    told: Counter[str] = field(default_factory=Counter)
    """Why a piece was not brought in or not drawn."""
    faults: list[str] = field(default_factory=list)
    """What must not be: exceptions, with the piece."""
    compared: Counter[str] = field(default_factory=Counter)
    examples: list[str] = field(default_factory=list)


def main(arguments: Sequence[str] | None = None) -> None:
    parser = argparse.ArgumentParser(description="Bring two corpora in.")
    parser.add_argument("corpora", nargs="*", metavar="corpus", help=f"{', '.join(CORPORA)}")
    parser.add_argument("--every", type=int, default=1, help="take every so many pieces")
    parser.add_argument("--compare", action="store_true", help="hold what sounds against music21")
    parser.add_argument("--examples", action="store_true", help="print the errors")
    chosen = parser.parse_args(arguments)
    with Pool(workers=1) as pool:
        for corpus in chosen.corpora or CORPORA:
            files = paths(*MUSICXML) if corpus == "musicxml" else paths(*MUSICXML, *OTHERS)
            tally = Tally()
            for path in files[:: chosen.every]:
                data = path.read_bytes() if corpus == "musicxml" else as_mei(path)
                if data is None:
                    tally.told["the converter gives no MEI"] += 1
                    continue
                bring_in(tally, path, data, pool, compare=chosen.compare)
            print_tally(corpus, tally, examples=chosen.examples)


def bring_in(tally: Tally, path: Path, data: bytes, pool: Pool, *, compare: bool) -> None:
    """One piece, from the file to the drawing."""
    began = time.perf_counter()
    try:
        piece = read_piece(data)
        found = excerpt_of(piece)
    except CannotImportError as error:
        tally.told[re.sub(r"\d+", "…", str(error))[:70]] += 1
        return
    except Exception as error:
        tally.faults.append(f"{name_of(path)}: {type(error).__name__}: {error}")
        return
    tally.seconds += time.perf_counter() - began
    block = parse_block(found.text)
    tally.pieces += 1
    tally.bars += len(block.score.bars)
    count_left(tally, found)
    count_errors(tally, path, block)
    for first in sorted({0, len(block.score.bars) // 2}):
        _excerpt(tally, path, piece, first, pool)
    if compare:
        try:
            tally.compared += sounding.agreement(block.score, path, piece)
        except Exception as error:
            tally.compared[f"music21 does not read it: {type(error).__name__}"] += 1


def count_left(tally: Tally, found: Imported) -> None:
    for line in found.left:
        kind = re.sub(r"\d+(/\d+)?", "…", re.sub(r"^\d+ ", "", line.split(", ")[0]))
        kind = re.sub(r"\(.*\)", "(…)", kind)
        tally.left[re.sub(r"^dynamics? \S+ between", "dynamic between", kind)] += 1


def count_errors(tally: Tally, path: Path, block: Block) -> None:
    rules: set[str] = set()
    for finding in check_block(block):
        if finding.severity is Severity.ERROR:
            tally.errors[finding.rule] += 1
            rules.add(finding.rule)
            tally.examples.append(f"{name_of(path)}: {finding.rule}: {finding.message}")
    tally.with_errors.update(rules)


def _excerpt(tally: Tally, path: Path, piece: Piece, first: int, pool: Pool) -> None:
    """A figure's worth of bars, cut without regard for what holds over its edges."""
    try:
        block = parse_block(slice_of(piece, first, first + EXCERPT).text)
    except Exception as error:
        tally.faults.append(f"{name_of(path)} from {first}: {type(error).__name__}: {error}")
        return
    tally.excerpts += 1
    for finding in check_block(block):
        if finding.severity is Severity.ERROR:
            tally.excerpt_errors[finding.rule] += 1
            tally.examples.append(f"{name_of(path)} from {first}: {finding.message}")
    _draw(tally, path, block, pool)


def _draw(tally: Tally, path: Path, block: Block, pool: Pool) -> None:
    sheet = sheet_of(block.score)
    if isinstance(sheet, EngravingFault):
        tally.told[f"not drawn: {sheet.message}"] += 1
        return
    (drawing,) = pool.engrave(jobs(sheet)[:1])
    if isinstance(drawing, EngravingFault):
        tally.faults.append(f"{name_of(path)}: the engraver: {drawing.message}")


def print_tally(corpus: str, tally: Tally, *, examples: bool) -> None:
    print(f"\n{corpus}: {tally.pieces} pieces, {tally.bars} bars, {tally.seconds:.0f} s")
    print(f"  {tally.excerpts} excerpts of up to {EXCERPT} bars drawn")
    for title, counts in (
        ("errors", tally.errors),
        ("pieces with errors", tally.with_errors),
        ("errors in excerpts", tally.excerpt_errors),
        ("told", tally.told),
        ("compared", tally.compared),
        ("not carried over, by pieces", tally.left),
    ):
        print(f"  {title}:")
        for what, count in counts.most_common():
            print(f"    {count:>7}  {what}")
    print(f"  crashes: {len(tally.faults)}")
    for line in tally.faults:
        print(f"    {line}")
    for line in tally.examples if examples else ():
        print(f"  {line}")


if __name__ == "__main__":
    main()
