"""Whatever lies in the content folder: one clear finding each, and a good site of all the rest."""

import os
import re
import shutil
from pathlib import Path

import pytest

from stavewright.notation.finding import Finding
from stavewright.site.content import read_content
from stavewright.site.making.workshop import Workshop
from stavewright.site.pipeline import BuildReport, Options, Tools, build
from stavewright.site.report import findings_text
from tests.cases import Case, cases, rows
from tests.site.project import SMALL, files

CONTENTS = Path(__file__).parent / "data" / "contents.tsv"
_REPEATED = re.compile("⟦([0-9]+)×(.*?)⟧", re.DOTALL)
_CODE = re.compile(rb"\\x([0-9a-f]{2})")


def spelled(cell: str) -> str:
    """A cell with its repetitions written out."""
    return _REPEATED.sub(lambda match: match[2] * int(match[1]), cell)


def data_of(cell: str) -> bytes:
    text = spelled(cell.replace("\\n", "\n")).encode()
    return _CODE.sub(lambda match: bytes([int(match[1], 16)]), text)


def name_of(case: Case) -> str:
    name = re.sub(r"\\u(....)", lambda match: chr(int(match[1], 16)), case["file"])
    return spelled(name)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, BuildReport]:
    """One site with all of it, and links that lead in circles."""
    project = tmp_path_factory.mktemp("content")
    content = project / "content"
    shutil.copytree(SMALL / "content", content)
    shutil.copytree(SMALL / "theme", project / "theme")
    for _, case in rows(CONTENTS):
        file = content / name_of(case)
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(data_of(case["text"]))
    (content / "loops").mkdir()
    (content / "loops" / "up").symlink_to(content, target_is_directory=True)
    (content / "loops" / "self.md").symlink_to("self.md")
    (content / "loops" / "there.md").symlink_to("back.md")
    (content / "loops" / "back.md").symlink_to("there.md")
    os.mkfifo(content / "loops" / "pipe.md")
    with Workshop(1) as makers:
        report = build(content, project / "site", Options(keep_going=True), Tools(makers))
    return project, report


def found_in(built: tuple[Path, BuildReport], path: str) -> list[Finding]:
    project, report = built
    name = (project / "content" / path).as_posix()
    return [finding for finding in report.findings if finding.span.file == name]


@pytest.mark.parametrize("case", cases(CONTENTS))
def test_any_file_ends_in_a_finding_or_a_page(built: tuple[Path, BuildReport], case: Case) -> None:
    found = found_in(built, name_of(case))
    if case["place"]:
        assert found
        place = f"{found[0].span.line}:{found[0].span.column}"
        assert (place, case["said"] in found[0].message) == (case["place"], True), found[0]
    else:
        assert found == []
    if case["page"]:
        assert (built[0] / "site" / spelled(case["page"]) / "index.html").is_file()


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("loops/up", "a link to a folder"),
        ("loops/self.md", "leads nowhere"),
        ("loops/there.md", "leads nowhere"),
        ("loops/back.md", "leads nowhere"),
        ("loops/pipe.md", "no plain file"),
    ],
)
def test_links_in_circles_and_pipes_are_left_out(
    built: tuple[Path, BuildReport], path: str, said: str
) -> None:
    (finding,) = found_in(built, path)
    assert said in finding.message
    assert not list((built[0] / "site").glob("loops*"))


def test_all_of_it_can_be_told(built: tuple[Path, BuildReport]) -> None:
    report = built[1]
    text = findings_text(report.findings, report.line_of, colour=False, width=80)
    assert text.count("\n") > len(report.findings)
    assert "\x00" not in text


def test_the_rest_of_the_site_is_good(built: tuple[Path, BuildReport]) -> None:
    project, report = built
    assert report.written
    written = files(project / "site")
    assert {"index.html", "answers/cadence/index.html", "feed.xml"} <= set(written)
    assert written["names/Picture.png"] == b"1"


@pytest.mark.usefixtures("unprivileged")
def test_a_file_that_may_not_be_read_is_a_finding(project: Path) -> None:
    (project / "content" / "answers" / "minor.md").chmod(0)
    content = read_content(project / "content")
    assert [finding.message for finding in content.findings] == [
        "This file cannot be read: Permission denied"
    ]
    assert len(content.articles) == 5
