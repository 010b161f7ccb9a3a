"""What every drawing keeps to, whatever the block: ink, ids, size, and words inside the sheet."""

from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.figures.figure import Drawing
from stavewright.figures.views import VIEWS
from stavewright.figures.views.canvas import text_width
from stavewright.figures.views.labels import Label, levels
from stavewright.figures.views.marks import legend_rows
from stavewright.notation import parse_block
from stavewright.notation.realise import realise
from stavewright.notation.score import Score
from stavewright.theory import Pitch
from tests.figures.scores import CONSTRUCTS, EXAMPLES, read
from tests.figures.views.blocks import read_cases, score_of
from tests.figures.views.drawings import SVG, texts
from tests.strategies import pitches

SCORES = [pytest.param(case.score, id=case.title) for case in read_cases()[1]]
SCORES += [pytest.param(realise(read(path)), id=path.stem) for path in (*CONSTRUCTS, *EXAMPLES)]
_PHONE, _PAGE = 330, 760
_PLACES = ("x", "y", "x1", "y1", "x2", "y2", "cx", "cy")
_LOOKS = (
    "fill stroke stroke-width stroke-dasharray opacity fill-opacity "
    "font-family font-size font-weight font-style text-anchor"
)
_LIT = {"data-id", "data-key", "data-class"}
"""By which the player finds what sounds."""
_ATTRIBUTES = {*_PLACES, *_LOOKS.split(), *_LIT, "width", "height", "viewBox", "r", "points"}
_TAGS = {"svg", "line", "rect", "circle", "polygon", "text"}
_SLACK = 0.5
"""Pixels that rounding may cost."""


def _check_svg(drawing: Drawing) -> None:
    root = ElementTree.fromstring(drawing.markup)
    assert root.attrib["viewBox"] == f"0 0 {root.attrib['width']} {root.attrib['height']}"
    assert float(root.attrib["width"]) == pytest.approx(drawing.width, abs=0.01)
    assert float(root.attrib["height"]) == pytest.approx(drawing.height, abs=0.01)
    for element in root.iter():
        assert element.tag.removeprefix(SVG) in _TAGS
        assert set(element.attrib) <= _ATTRIBUTES
        assert {element.attrib.get(ink, "none") for ink in ("fill", "stroke")} <= {
            "none",
            "currentColor",
        }
        for name in _PLACES:
            across = "x" in name
            value = float(element.attrib.get(name, 0))
            assert -_SLACK <= value <= (drawing.width if across else drawing.height) + _SLACK
    for words, left, right, baseline in texts(drawing):
        assert left >= -_SLACK, words
        assert right <= drawing.width + _SLACK, words
        assert 0 < baseline <= drawing.height, words


def _check(score: Score) -> None:
    for name, view in VIEWS.items():
        wide, narrow = view.draw(score)
        assert (wide, narrow) == view.draw(score)
        if name in {"names", "table"}:
            ElementTree.fromstring(wide.markup)
            continue
        _check_svg(wide)
        if narrow is None:
            assert wide.width <= _PHONE
        else:
            _check_svg(narrow)
            assert narrow.width <= _PHONE < wide.width
        assert wide.width <= _PAGE or name == "fretboard"
        assert view.speak(score).line.endswith(".")


@pytest.mark.parametrize("score", SCORES)
def test_every_view_of_every_block(score: Score) -> None:
    _check(score)


def _note(pitch: Pitch, shift: int) -> str:
    return f"{pitch}{f'@{shift:+d}/192' if shift else ''}"


notes = st.builds(_note, pitches.filter(lambda p: 0 <= p.octave <= 8), st.integers(-11, 11))
bars = st.lists(notes, min_size=4, max_size=4).map(" ".join)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(bars, min_size=1, max_size=4),
    st.sampled_from(["", "swing: 1/8 2:1\n", "tempo: 1/4 at 200\n"]),
)
def test_every_view_of_random_notes(written: list[str], field: str) -> None:
    _check(score_of(f"time: 2/4\n{field}notes: 1/8 {' | '.join(written)}\n"))


labels = st.builds(
    Label, st.floats(0, 300), st.text("ABC♯♭", min_size=1, max_size=6), st.sampled_from([10.0, 12])
)


@given(st.lists(labels, max_size=20))
def test_labels_on_one_level_do_not_touch(found: list[Label]) -> None:
    heights = levels(found)
    for level in range(max(heights, default=-1) + 1):
        row = sorted(
            (label for label, at in zip(found, heights, strict=True) if at == level),
            key=lambda label: label.x,
        )
        assert row
        for left, right in pairwise(row):
            assert left.x + left.width / 2 <= right.x - right.width / 2


@given(st.lists(st.text("abc", min_size=1, max_size=12), max_size=9).map(tuple))
def test_legends_keep_every_name_in_order(names: tuple[str, ...]) -> None:
    rows = legend_rows(names, 300)
    assert [name for row in rows for name in row] == (list(names) if len(names) > 1 else [])
    assert all(sum(26 + text_width(name, 12) for name in row) <= 300 for row in rows)


def test_no_beat_is_lost() -> None:
    score = score_of("time: 2+2+3/8\nnotes: 1/4 C4 C4 3/8 C4")
    wide, _ = VIEWS["grid"].draw(score)
    assert [words for words, *_ in texts(wide) if words.isdigit()] == ["1", "2", "3"]
    assert score.bars[0].length == Fraction(7, 8)


@pytest.mark.parametrize(
    ("notes", "marks"),
    [
        ("C4 E4", ["on an equal step"]),
        ("C4 E(-14)4", ["on an equal step", "off a step, by so many ¢"]),
    ],
)
def test_a_ruler_explains_the_marks_that_it_has_and_no_others(notes: str, marks: list[str]) -> None:
    wide, _ = VIEWS["ruler"].draw(parse_block(f"notes: {notes}\n").score)
    assert [
        words for words, *_ in texts(wide) if " step" in words and "Cents" not in words
    ] == marks
