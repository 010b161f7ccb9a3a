"""A build of what is built already looks nothing up, and anything at all that changed ends that."""

import shutil
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from stavewright.site.making.alone import Alone
from stavewright.site.pipeline import BuildReport, Options, Tools, build
from stavewright.site.store import Store
from tests.site.project import SMALL
from tests.site.test_incremental import Sketches


class Asked(Store):
    """A store that notes for what kinds of values it was asked."""

    def __init__(self, path: Path | None) -> None:
        super().__init__(path)
        self.kinds: set[str] = set()

    def get_many(self, kind: str, keys: Iterable[bytes]) -> dict[bytes, bytes]:
        self.kinds.add(kind)
        return super().get_many(kind, keys)


@dataclass(frozen=True)
class House:
    """A copy of the small site, and where it is built."""

    content: Path
    output: Path
    store: Asked

    def build(self, options: Options | None = None) -> BuildReport:
        """Build it, and forget what was asked before."""
        self.store.kinds.clear()
        tools = Tools(Alone(Sketches()), store=self.store)
        return build(self.content, self.output, options or Options(), tools)

    @property
    def was_settled(self) -> bool:
        """Whether the last build asked for no article."""
        return "essence" not in self.store.kinds


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    shutil.copytree(SMALL, tmp_path / "small")
    (tmp_path / "small/content/table.csv").write_text("a,b\n", "utf-8")
    with Asked(None) as store:
        yield House(tmp_path / "small/content", tmp_path / "site", store)


def test_the_same_again_is_settled_and_reports_the_same(house: House) -> None:
    first, again = house.build(), house.build()
    assert house.was_settled
    assert again.written
    assert (again.findings, again.checked, again.pages, again.drafts) == (
        first.findings,
        first.checked,
        first.pages,
        first.drafts,
    )
    assert again.kept == len(first.changes) + first.kept
    assert (again.articles, again.changes) == (0, ())


def _lengthen(path: Path) -> None:
    path.write_bytes(path.read_bytes() + b"\n")


CHANGES: dict[str, Callable[[House], object]] = {
    "an article": lambda house: _lengthen(house.content / "index.md"),
    "an article's name": lambda house: (house.content / "index.md").rename(
        house.content / "other.md"
    ),
    "a new article": lambda house: (house.content / "new.md").write_text("# New\n", "utf-8"),
    "another file": lambda house: _lengthen(house.content / "table.csv"),
    "another file is gone": lambda house: (house.content / "table.csv").unlink(),
    "a page that was written": lambda house: _lengthen(house.output / "index.html"),
    "a page is gone": lambda house: (house.output / "404.html").unlink(),
    "the record": lambda house: _lengthen(house.output / ".stavewright"),
    "the whole site": lambda house: shutil.rmtree(house.output),
}


@pytest.mark.parametrize("change", CHANGES)
def test_whatever_changed_is_seen(house: House, change: str) -> None:
    house.build()
    CHANGES[change](house)
    house.build()
    assert not house.was_settled


def test_other_options_are_another_site(house: House) -> None:
    house.build()
    house.build(Options(drafts=True))
    assert not house.was_settled
