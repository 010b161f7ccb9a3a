"""The whole road, on a small site with a theme of its own: content in, a linked site out."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import get_type_hints

import pytest

from stavewright.figures.engraver import Pool
from stavewright.figures.figure import Drawing, Engraver, EngravingFault
from stavewright.site.describing import describe_article
from stavewright.site.errors import CannotRunError, ContentError, OutputError, ThemeError
from stavewright.site.pipeline import STAGES, BuildReport, build
from stavewright.site.publish import publish_site
from stavewright.site.stages.values import Options
from stavewright.site.write import MARKER
from tests.site.atom import faults_of_feed, faults_of_sitemap
from tests.site.built import broken_references, read_page, read_pages

SMALL = Path(__file__).parent / "small"
ROOT = "/music/"


@pytest.fixture(scope="module")
def engraver() -> Iterator[Engraver]:
    with Pool(1) as pool:
        yield pool


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the small site, with the command running in it."""
    folder = tmp_path / "project"
    shutil.copytree(SMALL, folder)
    monkeypatch.chdir(folder)
    return folder


@pytest.fixture
def make(project: Path, engraver: Engraver) -> Callable[..., BuildReport]:
    """Build the project into `site/`."""

    def run(**options: object) -> BuildReport:
        return build(Path("content"), Path("site"), replace(Options(), **options), engraver)

    assert project.is_dir()
    return run


Make = Callable[..., BuildReport]


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def edit(path: str, old: str, new: str) -> None:
    text = Path(path).read_text("utf-8")
    assert old in text
    Path(path).write_text(text.replace(old, new), encoding="utf-8")


def test_each_stage_takes_what_the_one_before_gives() -> None:
    assert [name for name, _ in STAGES] == ["read", "parse", "check", "engrave", "render", "write"]
    hints = [get_type_hints(stage) for _, stage in STAGES]
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
    with Pool(2) as two_workers:
        build(Path("content"), Path("site"), Options(), two_workers)
    assert files(project / "site") == first


def test_drafts_are_left_out_unless_asked_for(make: Make) -> None:
    make()
    assert not Path("site/answers/later").exists()
    make(drafts=True)
    assert Path("site/answers/later/index.html").exists()
    assert b"later" not in Path("site/feed.xml").read_bytes()


def test_errors_in_a_draft_do_not_hold_up_the_rest(make: Make) -> None:
    edit("content/answers/later.md", "cadence.md", "nowhere.md")
    assert make().written
    assert not make(drafts=True).written


def test_a_link_to_a_draft_is_an_error_of_its_own_words(make: Make) -> None:
    edit("content/answers/minor.md", "cadence.md", "later.md")
    (finding,) = make().findings
    assert (finding.rule, str(finding.span)) == ("link", "content/answers/minor.md:7:23")
    assert "is a draft" in finding.message


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
            assert isinstance(jobs, list)
            return [EngravingFault("the engraver broke down over this music") for _ in jobs]

    report = build(Path("content"), project / "site", Options(keep_going=True), Broken())
    assert [finding.message for finding in report.findings] == [
        "The engraver broke down over this music"
    ] * 2
    assert report.has_errors
    page = read_page(project / "site", "answers/cadence/index.html")
    assert len(page.find("p", class_="finding")) == 1
    assert len(page.find("figure")) == 2


def test_equal_figures_are_engraved_once_and_all_in_one_call(
    project: Path, engraver: Engraver
) -> None:
    calls: list[int] = []

    class Counting:
        def engrave(self, jobs: object) -> list[Drawing | EngravingFault]:
            assert isinstance(jobs, list)
            assert len(set(jobs)) == len(jobs)
            calls.append(len(jobs))
            return engraver.engrave(jobs)

    assert build(Path("content"), project / "site", Options(), Counting()).written
    assert len(calls) == 1


@pytest.mark.parametrize(
    ("old", "new", "rule", "said"),
    [
        ("cadence.md", "cadense.md", "link", "There is no file `cadense.md`"),
        ("title: The sixth", "titel: The sixth", "front-matter", "titel"),
        ("date: 2024-04-01", "date: 2024-04-01\naddress: answers/cadence/", "address", "already"),
        ("date: 2024-04-01", "date: 2024-04-01\naddress: ../x/", "address", "`..` segment"),
        ("date: 2024-04-01", "date: 2024-04-01\naddress: feed.xml", "address", "the feed"),
    ],
)
def test_mistakes_in_an_article(make: Make, old: str, new: str, rule: str, said: str) -> None:
    edit("content/answers/minor.md", old, new)
    report = make()
    found = [finding for finding in report.findings if finding.rule == rule]
    assert any(said in finding.message for finding in found), report.findings
    assert all(finding.span.file == "content/answers/minor.md" for finding in found)
    assert not report.written


def test_a_navigation_that_leads_nowhere(make: Make) -> None:
    edit("content/site.yaml", "handbook/index.md", "handbok/index.md")
    (finding,) = make().findings
    assert str(finding.span) == "content/site.yaml:9:11"
    assert finding.suggestion == "handbook/index.md"


def test_links_in_the_content_are_not_followed_out_of_it(make: Make, project: Path) -> None:
    (project / "secret.txt").write_text("the key is under the mat")
    (project / "content/secret.txt").symlink_to(project / "secret.txt")
    (project / "content/loop").symlink_to(project / "content", target_is_directory=True)
    (project / "content/self").symlink_to("self")
    report = make(keep_going=True)
    assert [(finding.span.file, finding.rule) for finding in report.findings] == [
        ("content/loop", "address"),
        ("content/secret.txt", "address"),
        ("content/self", "address"),
    ]
    assert not any(b"under the mat" in data for data in files(project / "site").values())
    assert not (project / "site/loop").exists()


def test_names_that_no_address_can_hold_are_left_out(make: Make, project: Path) -> None:
    (project / "content/a\nb.txt").write_text("x")
    (project / "content/a\\b.txt").write_text("x")
    report = make(keep_going=True)
    assert [finding.rule for finding in report.findings] == ["address", "address"]
    assert not [path for path in files(project / "site") if path.endswith("b.txt")]


def test_a_file_cannot_take_the_place_of_the_home_page(make: Make, project: Path) -> None:
    (project / "content/index.html").write_text("mine")
    for _ in range(2):
        report = make(keep_going=True)
        assert [finding.rule for finding in report.findings if "index.html" in finding.message]
        assert b"mine" not in files(project / "site")["index.html"]
        (project / "content/index.md").unlink(missing_ok=True)


def test_nothing_but_the_output_folder_changes(make: Make, project: Path) -> None:
    before = files(project)
    make()
    after = {path: data for path, data in files(project).items() if not path.startswith("site/")}
    assert after == before


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
    engraver: Engraver, content: str, output: str, error: type[Exception], said: str
) -> None:
    before = files(Path())
    with pytest.raises(error, match=said):
        build(Path(content), Path(output), Options(), engraver)
    assert files(Path()) == before


def test_a_theme_with_a_misspelled_value_names_its_line(make: Make) -> None:
    edit("theme/templates/article.html", "page.body", "page.boddy")
    with pytest.raises(ThemeError, match=r"^theme/templates/article\.html:5: .*boddy"):
        make()


def test_a_theme_with_a_syntax_error_names_its_line(make: Make) -> None:
    edit("theme/templates/article.html", "{{ page.body }}", "{{ page.body }")
    with pytest.raises(ThemeError, match=r"^theme/templates/article\.html:5: "):
        make()


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


def test_publishing_puts_a_build_into_the_folder_of_the_settings(
    project: Path, engraver: Engraver
) -> None:
    report, target = publish_site(Path("content"), None, None, engraver)
    assert report.written
    assert target == project / "public"
    assert MARKER in files(project / "public")
    good = files(project / "public")
    edit("content/answers/minor.md", "notes: 1/4 F#4", "notes: 1/4 H4")
    report, _ = publish_site(Path("content"), None, None, engraver)
    assert not report.written
    assert files(project / "public") == good


def test_publishing_refuses_a_folder_of_somebody_else(project: Path, engraver: Engraver) -> None:
    (project / "public").mkdir()
    (project / "public/thesis.txt").write_text("ten years of work")
    with pytest.raises(OutputError, match="did not make it"):
        publish_site(Path("content"), None, None, engraver)
    assert files(project / "public") == {"thesis.txt": b"ten years of work"}


def test_publishing_needs_to_know_where_to(project: Path, engraver: Engraver) -> None:
    edit("content/site.yaml", "publish:\n  folder: ../public\n", "")
    with pytest.raises(CannotRunError, match="publish"):
        publish_site(project / "content", None, None, engraver)
