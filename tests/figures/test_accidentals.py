"""Which accidentals are printed."""

import pytest

from stavewright.figures.mei.accidentals import Sign, nearest_sign, printed_signs
from tests.cases import Case, cases
from tests.figures.scores import HERE, written


def _shown(sign: Sign) -> str:
    if sign.written is None:
        return "-"
    return f"({sign.written})" if sign.bracketed else sign.written


@pytest.mark.parametrize("case", cases(HERE / "data" / "accidentals.tsv"))
def test_printed(case: Case) -> None:
    score = written(case["block"].replace("\\n", "\n"))
    signs = printed_signs(score)
    in_order = sorted(signs, key=lambda p: (p.voice, p.event, p.grace is None, p.head))
    assert " ".join(_shown(signs[place]) for place in in_order) == case["signs"]


@pytest.mark.parametrize(
    ("cents", "printed"),
    [(0, 0), (14, 0), (50, 50), (-50, -50), (51, 100), (-131, -100), (150, 150), (250, 200)],
)
def test_offsets_without_a_sign_lean_to_the_nearest_whole_one(cents: int, printed: int) -> None:
    assert nearest_sign(cents) == printed
