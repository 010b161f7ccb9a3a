"""The whole road, on a small site with a theme of its own: content in, a linked site out."""

import os
import shutil
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import get_type_hints

import pytest

from stavewright.figures.figure import Drawing, EngravingFault
from stavewright.site.describing import describe_article
from stavewright.site.errors import CannotRunError, ContentError, OutputError
from stavewright.site.making.alone import Alone
from stavewright.site.making.workshop import Workshop
from stavewright.site.pipeline import STAGES, build, stage
from stavewright.site.stages.values import Options, Tools
from tests.site.atom import faults_of_feed, faults_of_sitemap
from tests.site.built import broken_references, read_page, read_pages
from tests.site.project import ROOT, Make, edit, files


def test_each_stage_takes_what_the_one_before_gives() -> None:
    assert list(STAGES) == ["read", "make", "place", "check", "compose", "write"]
    hints = [get_type_hints(stage(name)) for name in STAGES]
    for before, after in pairwise(hints):
        assert before["return"] is after["site"]


def test_the_small_site_builds_clean_and_every_reference_leads_somewhere(make: Make) -> None:
    report = make()
    assert report.findings == ()
    assert report.written
    site = Path("site")
    pages = read_pages(site)
    assert [page.path for page in pages] == [
        "404.html",
        "answers/cadence/index.html",
        "answers/minor/index.html",
        "glossary/index.html",
        "handbook/index.html",
        "index.html",
    ]
    assert report.pages == 5
    assert [page.faults for page in pages] == [()] * len(pages)
    assert [page.path for page in pages if len(set(page.ids)) < len(page.ids)] == []
    assert list(broken_references(site, pages, ROOT)) == []


def test_pages_know_each_other(make: Make) -> None:
    make()
    cadence = read_page(Path("site"), "answers/cadence/index.html")
    minor = read_page(Path("site"), "answers/minor/index.html")
    assert [link.get("href") for link in cadence.find("a", class_="mention")] == [
        "../minor/",
        "../../",
    ]
    assert [link.get("href") for link in cadence.find("a", class_="next")] == ["../minor/"]
    assert [link.get("href") for link in minor.find("a", class_="previous")] == ["../cadence/"]
    glossary = read_page(Path("site"), "glossary/index.html")
    assert [link.get("href") for link in glossary.find("a", class_="use")] == [
        "../answers/cadence/"
    ]


def test_figures_stand_in_the_pages(make: Make) -> None:
    make()
    page = read_page(Path("site"), "answers/cadence/index.html")
    assert [figure.get("id") for figure in page.find("figure")] == ["figure:1", "figure:2"]
    text = (Path("site") / "answers/cadence/index.html").read_text("utf-8")
    assert text.count("<svg") >= 2


def test_the_feed_and_the_map_follow_their_standards(make: Make) -> None:
    make()
    feed = (Path("site") / "feed.xml").read_bytes()
    assert list(faults_of_feed(feed)) == []
    assert b"<updated>2024-05-06T00:00:00Z</updated>" in feed
    document = (Path("site") / "sitemap.xml").read_bytes()
    assert list(faults_of_sitemap(document, "https://band.example/music/")) == []
    assert b"404" not in document


def test_every_address_in_a_description_is_in_the_built_site(make: Make) -> None:
    make()
    text = describe_article(Path("answers/cadence.md"), Path("content")).text
    site = "https://band.example/music/"
    addresses = [word for word in text.split() if word.startswith(site)]
    assert addresses == [
        f"{site}answers/cadence/",
        f"{site}answers/cadence/#the-chords",
        f"{site}answers/cadence/#the-notes",
    ]
    for address in addresses:
        path, _, anchor = address.removeprefix(site).partition("#")
        page = read_page(Path("site"), f"{path}index.html")
        assert not anchor or anchor in page.ids


def test_a_description_needs_the_sites_address(project: Path) -> None:
    edit("content/site.yaml", "address: https://band.example/music/\n", "")
    with pytest.raises(CannotRunError, match="address"):
        describe_article(Path("content/answers/cadence.md"), project / "content")


def test_two_builds_are_the_same_to_the_byte(make: Make, project: Path) -> None:
    make()
    first = files(project / "site")
    shutil.rmtree(project / "site")
    with Workshop(2) as two_workers:
        build(Path("content"), Path("site"), Options(), Tools(two_workers))
    assert files(project / "site") == first


def test_an_error_fails_the_build_and_leaves_the_last_good_site(make: Make) -> None:
    make()
    good = files(Path("site"))
    edit("content/answers/minor.md", "notes: 1/4 F#4", "notes: 1/4 H4")
    report = make()
    assert report.has_errors
    assert not report.written
    assert files(Path("site")) == good


def test_keep_going_builds_the_rest_and_prints_the_finding_in_the_figures_place(make: Make) -> None:
    edit("content/answers/minor.md", "notes: 1/4 F#4", "notes: 1/4 H4")
    report = make(keep_going=True)
    assert report.has_errors
    assert report.written
    minor = read_page(Path("site"), "answers/minor/index.html")
    (place, *_) = (paragraph.text or "" for paragraph in minor.find("p", class_="finding"))
    assert place.startswith("content/answers/minor.md:15:12 ")
    assert "<svg" in (Path("site") / "answers/cadence/index.html").read_text("utf-8")


def test_a_block_the_engraver_cannot_draw_has_a_finding_and_the_rest_goes_on(project: Path) -> None:
    class Broken:
        def engrave(self, jobs: object) -> list[Drawing | EngravingFault]:
            assert isinstance(jobs, Sequence)
            return [EngravingFault("the engraver broke down over this music") for _ in jobs]

    report = build(
        Path("content"), project / "site", Options(keep_going=True), Tools(Alone(Broken()))
    )
    assert [finding.message for finding in report.findings] == [
        "The engraver broke down over this music"
    ] * 2
    assert report.has_errors
    page = read_page(project / "site", "answers/cadence/index.html")
    assert len(page.find("p", class_="finding")) == 1
    assert len(page.find("figure")) == 2


def test_nothing_but_the_output_folder_and_its_spare_changes(make: Make, project: Path) -> None:
    before = files(project)
    make()
    found = files(project)
    ours = ("site/", ".site.previous-")
    assert {path: data for path, data in found.items() if not path.startswith(ours)} == before
    (spare,) = project.glob(".site.*")
    assert files(spare) == files(project / "site") | {".gitignore": b"*\n"}


@pytest.mark.parametrize(
    ("content", "output", "error", "said"),
    [
        ("contents", "site", ContentError, "no content folder contents"),
        ("content", "content/site", OutputError, "lies inside"),
        ("content", "theme", OutputError, "lies inside"),
        ("content", ".", OutputError, "runs in"),
    ],
)
@pytest.mark.usefixtures("project")
def test_a_build_that_cannot_run(
    makers: Workshop, content: str, output: str, error: type[Exception], said: str
) -> None:
    before = files(Path())
    with pytest.raises(error, match=said):
        build(Path(content), Path(output), Options(), Tools(makers))
    assert files(Path()) == before


@pytest.mark.skipif(os.name == "nt", reason="there are no such modes")
def test_a_web_server_may_read_the_site(make: Make, project: Path) -> None:
    before = os.umask(0o022)
    try:
        make()
    finally:
        os.umask(before)
    assert (project / "site").stat().st_mode & 0o777 == 0o755
    assert (project / "site/index.html").stat().st_mode & 0o777 == 0o644


def test_a_site_without_settings_or_home_page_has_good_defaults(make: Make, project: Path) -> None:
    (project / "content/site.yaml").unlink()
    (project / "content/index.md").unlink()
    report = make()
    assert report.findings == ()
    home = read_page(Path("site"), "index.html")
    assert "How a cadence ends" in home.text
    assert not Path("site/sitemap.xml").exists()
    assert list(faults_of_feed((project / "site/feed.xml").read_bytes())) == []
    assert list(broken_references(Path("site"), read_pages(Path("site")))) == []
