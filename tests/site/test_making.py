"""Makers that break down, hang or grow take nothing with them but the block they were at."""

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest

from stavewright.figures.child import Child
from stavewright.notation.finding import Finding
from stavewright.site.errors import ThemeError
from stavewright.site.making.digests import digest_figure_template, program
from stavewright.site.making.made import Order
from stavewright.site.making.manner import Manner
from stavewright.site.making.parcel import BODIES, ESSENCES, Parcel
from stavewright.site.making.process import MakerError
from stavewright.site.making.workshop import Limits, Workshop
from stavewright.site.store import Store
from stavewright.site.themes import Theme, find_theme
from tests.site.project import SMALL

_MAKER = "tests.site.fragile_maker"
_BLOCK = "```music\ntitle: {}\nnotes: C4 {}\n```\n\n"


def manner(theme: Theme | None = None) -> Manner:
    theme = theme or find_theme("./theme", SMALL)
    return Manner(program(), theme, digest_figure_template(theme), False, False)


def order(name: str, *titles: str, note: str = "D4") -> Order:
    text = f"# {name}\n\n" + "".join(_BLOCK.format(title, note) for title in titles)
    return Order(f"{name}.md", f"content/{name}.md", text.encode())


_LIMITS = Limits(seconds=1.2, memory=256 << 20)


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """Two makers for all tests here: each must find them at work again."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FRAGILE_ONCE", str(tmp_path_factory.mktemp("fragile") / "died"))
        with Workshop(2, _LIMITS, _MAKER) as found:
            yield found


def made(workshop: Workshop, *orders: Order) -> dict[str, Parcel]:
    return {order.path: parcel for order, parcel in workshop.make(manner(), orders)}


def findings(parcel: Parcel) -> list[Finding]:
    return list(ESSENCES.decode(parcel.essence).findings)


@pytest.mark.parametrize(
    ("title", "said"),
    [
        ("BREAKS", "The engraver broke down over this music"),
        ("HANGS", "The engraver took longer than 1.2 seconds over this music"),
        pytest.param(
            "GROWS",
            "The engraver broke down over this music",
            marks=pytest.mark.skipif(sys.platform != "linux", reason="nothing limits memory here"),
        ),
    ],
)
def test_a_block_that_takes_its_maker_with_it_is_named_and_the_rest_is_made(
    workshop: Workshop, title: str, said: str
) -> None:
    orders = [order("bad", "fine", title, "good"), *(order(f"a{n}", "fine") for n in range(4))]
    parcels = made(workshop, *orders)
    assert set(parcels) == {order.path for order in orders}
    (finding,) = findings(parcels["bad.md"])
    assert finding.message.startswith(said)
    assert (finding.span.file, finding.span.line) == ("content/bad.md", 8)
    assert "".join(BODIES.decode(parcels["bad.md"].body).texts).count("<svg") == 2
    assert not parcels["bad.md"].lasting
    others = [parcels[order.path] for order in orders[1:]]
    assert [findings(parcel) for parcel in others] == [[]] * 4
    assert all(parcel.lasting for parcel in others)


def test_two_bad_blocks_in_one_article(workshop: Workshop) -> None:
    (parcel,) = made(workshop, order("bad", "BREAKS", "fine", "HANGS")).values()
    assert [finding.span.line for finding in findings(parcel)] == [3, 13]


def test_a_maker_that_dies_once_is_forgiven(workshop: Workshop) -> None:
    (parcel,) = made(workshop, order("once", "ONCE")).values()
    assert Path(os.environ["FRAGILE_ONCE"]).exists()
    assert findings(parcel) == []
    assert parcel.lasting


def test_a_fault_of_ours_says_what_was_being_worked_on(workshop: Workshop) -> None:
    with pytest.raises(MakerError, match="KeyError: 'stem'") as raised:
        made(workshop, order("wrong", "ERRS"))
    assert raised.value.__notes__ == ["drawing content/wrong.md:3:1"]
    assert findings(made(workshop, order("right", "fine"))["right.md"]) == []


def test_a_theme_that_cannot_set_a_figure_is_the_themes_fault(
    workshop: Workshop, tmp_path: Path
) -> None:
    (tmp_path / "templates").mkdir()
    (tmp_path / "theme.yaml").write_text("name: broken\n", "utf-8")
    (tmp_path / "templates/figure.html").write_text("\n{{ figure.nothing }}", "utf-8")
    broken = manner(find_theme("./", tmp_path))
    with pytest.raises(ThemeError, match=r"figure\.html:2"):
        list(workshop.make(broken, [order("any", "fine")]))


def test_no_process_is_started_without_work_and_none_is_left() -> None:
    others = set(psutil.Process().children())
    workshop = Workshop(2, _LIMITS, _MAKER)
    assert made(workshop) == {}
    assert workshop.processes == 0
    made(workshop, *(order(f"a{n}", "fine") for n in range(6)))
    running = set(psutil.Process().children()) - others
    assert 1 <= workshop.processes <= 2
    workshop.close()
    assert workshop.processes == 0
    assert not any(process.is_running() for process in running)


def test_a_workshop_at_rest_has_no_process_and_can_be_asked_again() -> None:
    with Workshop(2, _LIMITS, _MAKER) as workshop:
        first = made(workshop, order("a", "fine"))
        workshop.rest()
        assert workshop.processes == 0
        assert made(workshop, order("a", "fine")) == first


def test_a_process_that_was_started_ahead_is_the_first_to_be_asked() -> None:
    ahead = Child(_MAKER)
    ahead.start()
    with Workshop(2, _LIMITS, _MAKER, ahead) as workshop:
        assert workshop.processes == 1
        assert set(made(workshop, order("a", "fine"))) == {"a.md"}
        assert workshop.processes == 1
    assert not ahead.is_running


def test_orders_are_read_only_as_they_are_worked_on(workshop: Workshop) -> None:
    asked: list[int] = []

    def orders() -> Iterator[Order]:
        for number in range(40):
            asked.append(number)
            yield order(f"a{number}", "fine")

    finished = 0
    for _ in workshop.make(manner(), orders()):
        finished += 1
        assert len(asked) - finished <= 6
    assert finished == 40


def test_stopping_half_way_leaves_no_process_at_work() -> None:
    workshop = Workshop(1, _LIMITS, _MAKER)
    making = workshop.make(manner(), (order(f"a{n}", "fine") for n in range(40)))
    next(making)
    making.close()  # type: ignore[attr-defined]
    assert workshop.processes == 0
    with workshop:
        assert len(made(workshop, order("later", "fine"))) == 1


def test_drawings_are_kept_and_looked_for() -> None:
    class Counting(Store):
        """Counts what is asked for and what is found."""

        asked = found = 0

        def get_many(self, kind: str, keys: object) -> dict[bytes, bytes]:
            """See `Store`."""
            wanted = list(keys)  # type: ignore[call-overload]
            values = super().get_many(kind, wanted)
            self.asked += len(wanted)
            self.found += len(values)
            return values

    store = Counting(None)
    with Workshop(1, maker=_MAKER) as workshop:
        list(workshop.make(manner(), [order("a", "one", "one", "two")], store))
        # Equal music in one article is looked for once; each of the two has two widths.
        assert (store.asked, store.found) == (4, 0)
        list(workshop.make(manner(), [order("b", "one", "two", note="D4")], store))
        assert (store.asked, store.found) == (8, 4)
