"""What ten figures weigh on one page, beside what the engraver gives by itself.

On its side: its pages as they come, options untouched, but without the header and footer that it
would print. They bring a font for the signs in their text, where there are any. On ours: one
drawing a figure, the shapes they share, the style sheet and the signs' font. The narrow drawings,
which a page carries for phones, are counted apart.
"""

import gzip
from collections.abc import Iterable
from dataclasses import dataclass

import pytest
import verovio

from stavewright.figures import FIGURE_CSS, WOFF2, Drawing, glyph_sheet, glyphs_in
from stavewright.figures.drawer import Drawer
from stavewright.figures.staff import NARROW, WIDE
from tests.figures.scores import HERE, mei_text, written

MOST_RAW, MOST_PACKED = 0.40, 0.35


@dataclass(frozen=True)
class Weights:
    """Ten figures three times."""

    engraver: str
    without_font: str
    """The same without the font for text."""
    wide: str
    both: str


@pytest.fixture(scope="module")
def weights() -> Weights:
    blocks = (HERE / "data" / "four_bars.txt").read_text("utf-8").split("\n\n")[1:]
    meis = [mei_text(written(block)) for block in blocks]
    assert len(meis) == 10
    drawer = Drawer()
    figures = [drawer.draw(mei, (WIDE, NARROW)) for mei in meis]
    return Weights(
        engraver="".join(_by_itself(meis, {})),
        without_font="".join(_by_itself(meis, {"smuflTextFont": "none"})),
        wide=_page(wide for wide, _ in figures),
        both=_page(drawing for figure in figures for drawing in dict.fromkeys(figure)),
    )


def _by_itself(meis: list[str], options: dict[str, str]) -> Iterable[str]:
    toolkit = verovio.toolkit()
    toolkit.setOptions({"header": "none", "footer": "none"} | options)
    for mei in meis:
        assert toolkit.loadData(mei)
        yield toolkit.renderToSVG(1)


def _page(drawings: Iterable[Drawing]) -> str:
    markup = "".join(drawing.markup for drawing in drawings)
    return glyph_sheet(glyphs_in(markup)) + markup


def _packed(text: str) -> int:
    return len(gzip.compress(text.encode(), 9, mtime=0))


def test_ten_figures_are_small(weights: Weights) -> None:
    style, font = FIGURE_CSS.read_text("utf-8"), WOFF2.stat().st_size
    ours = weights.wide + style
    assert len(ours.encode()) + font <= MOST_RAW * len(weights.engraver.encode())
    assert _packed(ours) + font <= MOST_PACKED * _packed(weights.engraver)


def test_music_alone_is_small(weights: Weights) -> None:
    """Ten kinds of figure, and no font on either side: a third of what is left is glyph shapes."""
    assert len(weights.wide.encode()) <= 0.25 * len(weights.without_font.encode())
    assert _packed(weights.wide) <= 0.41 * _packed(weights.without_font)


def test_narrow_drawings_add_half_as_much_again(weights: Weights) -> None:
    assert _packed(weights.both) <= 1.6 * _packed(weights.wide)
