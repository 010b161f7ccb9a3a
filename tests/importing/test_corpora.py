"""Real music of two corpora: brought in, checked, drawn, and held against another reader.

A sample in the usual run; the whole by `python -m tests.benchmarks.imported`.
"""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

import pytest

from stavewright.figures.engraver import Pool
from stavewright.importing import excerpt_of, read_piece
from stavewright.notation import parse_block
from tests.benchmarks.imported import Tally, bring_in
from tests.cases import rows
from tests.importing import sounding
from tests.importing.case_files import DATA
from tests.importing.corpora import MUSICXML, OTHERS, as_mei, name_of, paths

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_SEED = 4
_SIZES = (2_000, 25_000)
"""Bytes of a compressed file that is read in a second or so."""
_WRONG = {"syntax", "bar-length", "bar-count", "tie", "tuplet", "syllables"}
"""Rules whose findings after import mean that we wrote nonsense, rather than that the file did."""


def _sample(suffixes: tuple[str, ...], count: int) -> list[object]:
    fit = [path for path in paths(*suffixes) if _SIZES[0] < path.stat().st_size < _SIZES[1]]
    chosen = random.Random(_SEED).sample(fit, count)
    return [pytest.param(path, id=name_of(path)) for path in chosen]


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    with Pool(workers=1) as pool:
        yield pool


@pytest.mark.slow
@pytest.mark.parametrize("path", _sample(("mxl",), 6))
def test_a_piece_of_musicxml_comes_in_and_is_drawn(path: Path, pool: Pool) -> None:
    _comes_in(path, path.read_bytes(), pool)


@pytest.mark.slow
@pytest.mark.parametrize("path", [*_sample(("mxl",), 2), *_sample(("krn",), 3)])
def test_a_piece_of_mei_comes_in_and_is_drawn(path: Path, pool: Pool) -> None:
    data = as_mei(path)
    assert data is not None
    _comes_in(path, data, pool)


def _comes_in(path: Path, data: bytes, pool: Pool) -> None:
    tally = Tally()
    bring_in(tally, path, data, pool, compare=False)
    assert tally.pieces == 1
    assert tally.faults == []
    assert not _WRONG & set(tally.errors), tally.examples
    assert not _WRONG & set(tally.excerpt_errors), tally.examples


@pytest.mark.slow
@pytest.mark.parametrize("path", _sample(("mxl",), 4))
def test_the_same_sounds_as_by_another_reader(path: Path) -> None:
    """music21 is the outside judge; where it differs for a reason, `differing.tsv` says so."""
    piece = read_piece(path.read_bytes())
    score = parse_block(excerpt_of(piece).text).score
    ours, theirs = sounding.of_score(score), sounding.of_music21(path, piece)
    explained = {case["piece"] for _, case in rows(DATA / "differing.tsv")}
    if name_of(path) not in explained:
        assert sounding.differing(ours, theirs) == []


def test_the_pieces_that_differ_exist() -> None:
    known = {name_of(path) for path in paths(*MUSICXML, *OTHERS)}
    assert {case["piece"] for _, case in rows(DATA / "differing.tsv")} <= known
