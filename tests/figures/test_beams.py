"""Which notes are beamed."""

from fractions import Fraction

import pytest

from stavewright.figures.mei.groups import ranges
from stavewright.figures.mei.strands import voice_strand
from stavewright.notation.score import BarSign
from tests.cases import Case, cases
from tests.figures.scores import HERE, written


def _shown(text: str) -> str:
    score = written(text)
    strand = voice_strand(score, 0)
    found = ranges(strand.items, strand.groups, Fraction(0), score.meter)
    return " ".join(f"{'t' if r.group else ''}{r.first}-{r.last}" for r in found)


@pytest.mark.parametrize("case", cases(HERE / "data" / "beams.tsv"))
def test_beams(case: Case) -> None:
    assert _shown(f"time: {case['time']}\nnotes: {case['notes']}") == case["beams"]


def test_without_a_metre_beams_go_by_the_quarter() -> None:
    assert _shown("notes: 1/8 C5 D5 E5 F5 |") == "0-1 2-3"


def test_a_pickup_is_beamed_as_the_end_of_its_bar() -> None:
    from stavewright.figures.mei.segments import segments

    score = written("time: 4/4\npickup: 3/8\nnotes: 1/8 C5 D5 E5 | 1 F5")
    first, second = segments(score)
    assert score.meter is not None
    assert first.offset == score.meter.length - score.bars[0].length
    assert second.offset == 0
    assert score.bars[1].closing is BarSign.SINGLE
