"""A site and its content: drafts, mistakes, traps, and names in any script."""

from pathlib import Path

import pytest

from tests.site.built import broken_references, read_page, read_pages
from tests.site.project import ROOT, Make, edit, files


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


def test_line_ends_make_no_difference(make: Make, project: Path) -> None:
    make()
    unix = files(project / "site")
    for path in (project / "content").rglob("*.md"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert make().findings == ()
    assert files(project / "site") == unix


def test_names_in_any_script_can_be_linked(make: Make, project: Path) -> None:
    picture = project / "content/Bilder/hell & klar #1.svg"
    picture.parent.mkdir()
    picture.write_text("<svg xmlns='http://www.w3.org/2000/svg'></svg>")
    (project / "content/Über uns?.md").write_text(
        "---\ntitle: Über uns\nkind: page\n---\n\n"
        "![Glocke](<Bilder/hell & klar %231.svg>) [和声](和声.md)\n",
        encoding="utf-8",
    )
    (project / "content/和声.md").write_text(
        "---\ntitle: 和声\nkind: page\n---\n\n[Wir](<Über uns%3F.md>)\n", encoding="utf-8"
    )
    assert make().findings == ()
    pages = read_pages(Path("site"))
    assert {"uber-uns/index.html", "和声/index.html"} < {page.path for page in pages}
    assert list(broken_references(Path("site"), pages, ROOT)) == []


def test_html_in_an_article_marks_text_up_unless_the_settings_let_all_of_it_through(
    make: Make,
) -> None:
    edit("content/handbook/index.md", "How to use", '<ins id="x">How</ins> to <font>use</font>')
    report = make()
    assert len([finding for finding in report.findings if finding.rule == "syntax"]) == 2
    page = read_page(Path("site"), "handbook/index.html")
    assert [dict(element.attrib) for element in page.find("ins")] == [{}]
    assert "<font>use</font>" in page.text
    with Path("content/site.yaml").open("a") as settings:
        settings.write("raw_html: true\n")
    assert make().findings == ()
    page = read_page(Path("site"), "handbook/index.html")
    assert [element.attrib["id"] for element in page.find("ins")] == ["x"]
    assert [element.text for element in page.find("font")] == ["use"]


def test_a_bare_file_says_its_title_once(make: Make) -> None:
    Path("content/bare.md").write_text("# One *title*\n\nTo [the top](#one-title).\n\n## More\n")
    assert make().written
    page = read_page(Path("site"), "bare/index.html")
    assert ["".join(heading.itertext()) for heading in page.find("h1")] == ["One title"]
    assert list(broken_references(Path("site"), read_pages(Path("site")), ROOT)) == []


def test_a_term_without_any_glossary_is_an_error(make: Make) -> None:
    Path("content/glossary.md").unlink()
    (finding,) = (finding for finding in make().findings if finding.rule == "term")
    assert str(finding.span) == "content/answers/cadence.md:15:20"
