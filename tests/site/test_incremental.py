"""A build that goes on from an earlier one gives what a clean build gives, whatever was edited.

The same holds for the site that the preview keeps in memory. The edits, and what each makes the
build do again, are data (`data/edits.yaml`).
"""

import hashlib
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob
from stavewright.site.errors import ContentError
from stavewright.site.live import LiveSite
from stavewright.site.making.alone import Alone
from stavewright.site.making.workshop import Workshop
from stavewright.site.pipeline import BuildReport, Options, Tools, build
from stavewright.site.store import Store
from tests.site.project import SMALL, files

EDITS: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parent / "data/edits.yaml").read_text("utf-8")
)


class Sketches:
    """An engraver whose pictures tell which music and width they were asked for."""

    def engrave(self, jobs: Sequence[EngravingJob]) -> list[Drawing | EngravingFault]:
        """See `Engraver`."""
        return [self._sketch(job) for job in jobs]

    def _sketch(self, job: EngravingJob) -> Drawing:
        name = hashlib.sha256(job.mei.encode()).hexdigest()[:12]
        return Drawing(f'<svg data-music="{name}"></svg>', float(job.width or 900), 10.0)


class Desk:
    """A copy of the small site and what an author does to it."""

    def __init__(self, folder: Path) -> None:
        shutil.copytree(SMALL, folder)
        self.folder = folder
        self.content = folder / "content"

    def edit(self, edit: dict[str, Any]) -> list[Path]:
        """Make an edit, or undo it; gives the paths that changed."""
        if "swap" in edit:
            name, this, that = edit["swap"]
            path = self.content / name
            if not path.exists():
                return []
            text = path.read_text("utf-8")
            # Longer first: one may be part of the other.
            for old, new in sorted([(this, that), (that, this)], key=lambda p: -len(p[0])):
                if old in text:
                    path.write_text(text.replace(old, new, 1), encoding="utf-8")
                    return [path]
            return []
        if "move" in edit:
            ends = [self.content / name for name in edit["move"]]
            source, target = ends if ends[0].exists() else ends[::-1]
            if source.exists():
                source.rename(target)
            return ends
        if "toggle" in edit:
            name, text = edit["toggle"]
            path = self.content / name
            path.unlink() if path.exists() else path.write_text(text, encoding="utf-8")
            return [path]
        return []

    def clean(self, options: Options) -> dict[str, bytes]:
        """What a build makes that has never seen this site."""
        with tempfile.TemporaryDirectory() as folder:
            self.build(Path(folder, "site"), options, Store.open(None))
            return files(Path(folder, "site"))

    def build(self, output: Path, options: Options, store: Store) -> BuildReport:
        return build(self.content, output, options, Tools(Alone(Sketches()), store=store))


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(tmp_path / "desk")


@pytest.mark.parametrize("edit", EDITS, ids=[edit["title"] for edit in EDITS])
def test_each_edit_makes_again_what_shows_it_and_says_why(desk: Desk, edit: dict[str, Any]) -> None:
    options = Options(keep_going=True)
    store = Store.open(None)
    output = desk.folder / "site"
    first = desk.build(output, options, store)
    assert {reason for change in first.changes for reason in change.reasons} == {"it is new"}
    before = files(output)
    desk.edit(edit)
    report = desk.build(output, options, store)
    after = files(output)
    assert after == desk.clean(options)
    again = {change.path: "; ".join(change.reasons) for change in report.changes}
    if edit["again"] is not None:
        assert again == edit["again"]
    assert report.articles == edit.get("made", report.articles)
    pages = {path for path in after if path.endswith(".html")}
    assert {path for path in pages if before.get(path) != after[path]} <= set(again)
    assert report.kept == len(pages) - len(again)


@settings(
    max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(st.sampled_from(EDITS), min_size=2, max_size=5), st.booleans())
def test_after_any_edits_all_ways_to_build_agree(edits: list[dict[str, Any]], drafts: bool) -> None:
    options = Options(keep_going=True, drafts=drafts)
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder, "store")) as store:
        desk = Desk(Path(folder, "desk"))
        output = Path(folder, "site")
        live = LiveSite(desk.content, options, Alone(Sketches()))
        shown: dict[str, bytes] = {}
        for edit in [{}, *edits]:
            changed = desk.edit(edit)
            clean = desk.clean(options)
            desk.build(output, options, store)
            assert files(output) == clean
            refreshed = live.refresh(changed if shown else None)
            now = dict(_all_of(live, clean))
            assert now == {path: data for path, data in clean.items() if path in now}
            assert {path for path in clean if path.endswith(".html")} == set(refreshed.pages)
            different = {path for path in refreshed.pages if shown.get(path) != now[path]}
            assert different <= refreshed.changed
            shown = now


def _all_of(live: LiveSite, paths: Sequence[str] | dict[str, bytes]) -> Iterator[tuple[str, bytes]]:
    """Every page and file of a live site at these paths, but for the written site's own list."""
    for path in paths:
        data = live.page(path) if path.endswith(".html") else live.file(path)
        if path != ".stavewright":
            assert data is not None, path
            yield path, data.read_bytes() if isinstance(data, Path) else data


def test_a_file_that_somebody_changed_in_the_output_is_written_again(desk: Desk) -> None:
    store = Store.open(None)
    output = desk.folder / "site"
    desk.build(output, Options(), store)
    good = files(output)
    (output / "index.html").write_text("mine", encoding="utf-8")
    report = desk.build(output, Options(), store)
    assert files(output) == good
    assert [(change.path, change.reasons) for change in report.changes] == [
        ("index.html", ("its file in the output folder was changed or taken away",))
    ]


def test_a_store_that_forgets_everything_costs_time_and_nothing_else(desk: Desk) -> None:
    class Forgetful(Store):
        """Takes what it is given, and loses it."""

        def put(self, kind: str, key: bytes, value: bytes) -> None:
            """See `Store`."""

        def put_many(self, kind: str, values: object) -> None:
            """See `Store`."""

    output = desk.folder / "site"
    desk.build(output, Options(), Forgetful(None))
    assert files(output) == desk.clean(Options())


def test_any_number_of_makers_makes_the_same(desk: Desk) -> None:
    sites = []
    with Workshop(1) as makers, Store.open(desk.folder / "store") as store:
        for tools in (Tools(makers, store=store), Tools(makers, store=store)):
            build(desk.content, desk.folder / "site", Options(), tools)
            sites.append(files(desk.folder / "site"))
            desk.edit({"swap": ["answers/minor.md", "Back to", "Go back to"]})
    assert sites[0] != sites[1]
    desk.edit({"swap": ["answers/minor.md", "Back to", "Go back to"]})
    with Workshop(3) as others:
        build(desk.content, desk.folder / "site", Options(), Tools(others))
    assert files(desk.folder / "site") == sites[1]


def test_a_folder_that_is_moved_or_goes_is_followed(desk: Desk) -> None:
    live = LiveSite(desk.content, Options(keep_going=True), Alone(Sketches()))
    live.refresh()
    (desk.content / "answers").rename(desk.content / "lessons")
    moved = live.refresh([desk.content / "answers", desk.content / "lessons"])
    assert {"lessons/cadence/index.html", "lessons/minor/index.html"} <= moved.changed
    assert moved.removed == {"answers/cadence/index.html", "answers/minor/index.html"}
    shutil.rmtree(desk.content / "lessons")
    gone = live.refresh([desk.content / "lessons"])
    assert {"lessons/cadence/index.html", "lessons/minor/index.html"} == gone.removed
    assert live.page("lessons/minor/index.html") is None


def test_a_refresh_that_cannot_be_leaves_the_site_as_it_was(desk: Desk) -> None:
    live = LiveSite(desk.content, Options(), Alone(Sketches()))
    live.refresh()
    page = live.page("index.html")
    desk.content.rename(desk.folder / "elsewhere")
    with pytest.raises(ContentError):
        live.refresh()
    assert live.page("index.html") == page
