"""The demonstration site, built once with each theme: whole, linked, valid, and without errors."""

import gzip
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from stavewright.notation.finding import Severity
from stavewright.site.describing import describe_at
from stavewright.site.making.workshop import Workshop
from stavewright.site.one_article import placed_in
from stavewright.site.pipeline import BuildReport, Options, Tools, build
from stavewright.site.project import read_project
from stavewright.site.themes import theme_names
from tests.site.atom import faults_of_feed, faults_of_sitemap
from tests.site.built import Page, broken_references, read_pages

CONTENT = Path(__file__).parents[2] / "content"


@dataclass(frozen=True)
class Demo:
    """The demonstration site as it was built."""

    report: BuildReport
    folder: Path
    pages: list[Page]


@pytest.fixture(scope="module")
def makers() -> Iterator[Workshop]:
    with Workshop(2) as workshop:
        yield workshop


@pytest.fixture(scope="module", params=theme_names())
def demo(
    request: pytest.FixtureRequest, makers: Workshop, tmp_path_factory: pytest.TempPathFactory
) -> Demo:
    folder = tmp_path_factory.mktemp("demo") / "site"
    options = Options(keep_going=True, theme=request.param, root="/")
    report = build(CONTENT, folder, options, Tools(makers))
    return Demo(report, folder, read_pages(folder))


def _packed(path: Path) -> int:
    return len(gzip.compress(path.read_bytes(), 9, mtime=0))


def test_nothing_is_wrong_with_it(demo: Demo) -> None:
    wrong = [f for f in demo.report.findings if f.severity is not Severity.ADVICE]
    assert [f"{finding.span} {finding.message}" for finding in wrong] == []


def test_every_reference_leads_somewhere(demo: Demo) -> None:
    assert list(broken_references(demo.folder, demo.pages)) == []


def test_pages_with_five_figures_are_light(demo: Demo) -> None:
    """Page, styles, scripts and font, each packed as a server would: all that a reader loads."""
    (style,) = (demo.folder / "assets").glob("*/figure.css")  # the others lie beside it
    shared = sum(map(_packed, style.parent.iterdir()))
    weights = {
        page.path: shared + _packed(demo.folder / page.path)
        for page in demo.pages
        if len(page.find("figure", class_="music")) >= 5
    }
    assert weights
    assert {path for path, weight in weights.items() if weight > 100_000} == set()


def test_every_page_is_valid_html(demo: Demo) -> None:
    faults = {page.path: page.faults for page in demo.pages if page.faults}
    assert faults == {}


def test_every_id_is_the_only_one_in_its_page(demo: Demo) -> None:
    twice = {
        page.path: [name for name, number in Counter(page.ids).items() if number > 1]
        for page in demo.pages
    }
    assert {path: names for path, names in twice.items() if names} == {}


def test_pages_ask_nothing_of_another_host(demo: Demo) -> None:
    loading = ("src", "srcset", "poster", "data")
    found = [
        (page.path, value)
        for page in demo.pages
        for element in page.document.iter()
        for name, value in element.items()
        if (name in loading or (name == "href" and element.tag.endswith("}link")))
        and "//" in value
        and element.get("rel") != "canonical"
    ]
    assert found == []


def test_every_figure_has_a_text_for_those_who_do_not_see_it(demo: Demo) -> None:
    for page in demo.pages:
        for figure in page.find("figure"):
            text = "".join(figure.itertext()).strip()
            assert text, f"{page.path}#{figure.get('id')}"


def test_every_description_holds_to_the_site_and_to_its_limit(demo: Demo) -> None:
    site = "https://larchwater.example/"
    ids = {page.path: page.ids for page in demo.pages}
    project = read_project(CONTENT)
    filmed = [pair for pair in placed_in(project) if pair[0].front.video]
    assert len(filmed) >= 8
    for article, place in filmed:
        description = describe_at(article, place, project.settings)
        assert len(description.text) <= project.settings.description_limit
        assert description.omitted == ()
        addresses = re.findall(rf"{site}(\S*)", description.text)
        assert place in addresses
        for address in addresses:
            path, _, anchor = address.partition("#")
            assert not anchor or anchor in ids[f"{path}index.html"], address
        times = re.findall(r"^(\d+):(\d\d) ", description.text, re.MULTILINE)
        seconds = [int(minutes) * 60 + int(rest) for minutes, rest in times]
        assert seconds[0] == 0
        assert seconds == sorted(set(seconds))


def test_feed_and_map_follow_their_standards(demo: Demo) -> None:
    assert list(faults_of_feed((demo.folder / "feed.xml").read_bytes())) == []
    document = (demo.folder / "sitemap.xml").read_bytes()
    assert list(faults_of_sitemap(document, "https://larchwater.example/")) == []
