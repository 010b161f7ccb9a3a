"""One engraver, all widths of a figure: no more layouts than it takes, and none that differs."""

import os

import pytest

from stavewright.figures.drawer import Drawer, Refused, by_music
from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob
from stavewright.figures.staff import NARROW, WIDE
from tests.figures.blocks import engraving_jobs
from tests.figures.scores import mei_text, written

FOUR_BARS = "time: 4/4\nnotes: 1/4 C4 D4 E4 F4 | G4 A4 B4 C5 | C5 B4 A4 G4 | F4 E4 D4 C4"
ONE_BAR = "time: 4/4\nnotes: 1/4 C4 D4 E4 F4"
LONG_BAR = f"time: 16/4\nnotes: 1/16 {'C4 D#4 E4 F#4 ' * 16}| 1/1 C4 C4 C4 C4"


def _renders(block: str, *widths: int | None) -> int:
    drawer = Drawer()
    drawer.draw(mei_text(written(block)), widths)
    return drawer.renders


@pytest.mark.parametrize(
    ("block", "widths", "layouts"),
    [
        pytest.param(ONE_BAR, (WIDE, NARROW), 1, id="one row fits both"),
        pytest.param(FOUR_BARS, (WIDE, NARROW), 2, id="one row fits the wide one"),
        pytest.param(FOUR_BARS, (NARROW, WIDE), 2, id="in any order"),
        pytest.param(FOUR_BARS, (None, WIDE), 1, id="as wide as it gets"),
        pytest.param(LONG_BAR, (WIDE, NARROW, WIDE), 8, id="a bar too long for every width"),
    ],
)
def test_no_more_layouts_than_it_takes(
    block: str, widths: tuple[int | None, ...], layouts: int
) -> None:
    assert _renders(block, *widths) <= layouts


def test_widths_asked_together_or_alone_give_the_same() -> None:
    """Layouts that start from what was read before are those of music read anew."""
    together = Drawer()
    for name, jobs in list(engraving_jobs().items())[::2]:
        for mei, widths in by_music(jobs).items():
            alone = [Drawer().draw(mei, (width,))[0] for width in widths]
            assert together.draw(mei, widths) == alone, name


def test_results_stand_where_they_were_asked_and_a_fault_is_its_own() -> None:
    good, bad = mei_text(written(FOUR_BARS)), "<mei"
    jobs = [EngravingJob(mei, width) for width in (WIDE, NARROW) for mei in (good, bad)]
    wide, fault, narrow, other = Drawer().engrave(jobs)
    assert isinstance(wide, Drawing)
    assert isinstance(narrow, Drawing)
    assert wide.width > narrow.width
    assert isinstance(fault, EngravingFault)
    assert fault == other


def test_what_is_refused_says_so() -> None:
    with pytest.raises(Refused, match="the engraver refused this music"):
        Drawer().draw("<mei", (WIDE,))


def test_a_bar_too_long_for_the_width_is_drawn_whole_not_pressed() -> None:
    whole, narrow = Drawer().draw(mei_text(written(LONG_BAR)), (None, NARROW))
    assert NARROW < narrow.width <= whole.width


def test_what_was_pressed_is_seen_on_every_layout_and_told_to_nobody(
    capfd: pytest.CaptureFixture[str],
) -> None:
    drawer = Drawer()
    alone = drawer.draw(mei_text(written(LONG_BAR)), (NARROW,))
    with pytest.raises(Refused, match=r"\(The tree of the MEI data cannot be parsed .+\)"):
        drawer.draw("no MEI", (NARROW,))
    assert drawer.draw(mei_text(written(LONG_BAR)), (NARROW,)) == alone
    os.write(2, b"ours")
    assert capfd.readouterr().err == "ours"
