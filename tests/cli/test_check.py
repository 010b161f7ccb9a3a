"""`stavewright check`: what it takes, what it prints, and what its exit code says."""

import json
import os
from pathlib import Path

import pytest

from tests.cli.running import SMALL, Command, Run, edit, spawn


@pytest.mark.usefixtures("project")
def test_a_clean_check_is_exit_code_0(stavewright: Command) -> None:
    run = stavewright("check")
    assert run == Run(0, "Checked 6 articles, 3 music blocks, 1 claim: nothing found.\n", "")


@pytest.mark.usefixtures("project")
def test_an_error_is_exit_code_1_and_is_shown_with_its_line(stavewright: Command) -> None:
    edit("content/answers/minor.md", "cadence.md", "cadense.md")
    run = stavewright("check")
    assert run.code == 1
    assert run.out.splitlines()[:3] == [
        "content/answers/minor.md:7:23 error link",
        "    Back to [the cadence](cadense.md).",
        "                          ^^^^^^^^^^",
    ]


@pytest.mark.usefixtures("project")
def test_check_finds_what_would_fail_the_build(stavewright: Command) -> None:
    edit("content/answers/minor.md", "cadence.md", "later.md")
    edit("content/site.yaml", "handbook/index.md", "answers/later.md")
    checked = json.loads(stavewright("check", "--format", "json").out)["findings"]
    found = [(finding["file"], finding["line"], finding["rule"]) for finding in checked]
    assert found == [
        ("content/answers/minor.md", 7, "link"),
        ("content/site.yaml", 9, "front-matter"),
    ]
    assert stavewright("build").out.count(" error ") == 2


def test_signs_that_a_terminal_lacks_are_escaped(project: Path) -> None:
    edit("content/answers/minor.md", "[the cadence](cadence.md)", "[♭](cadense.md)")
    run = spawn("check", folder=project, PYTHONIOENCODING="latin-1")
    assert run.returncode == 1
    assert "Back to [\\u266d](cadense.md)." in run.stdout


@pytest.mark.usefixtures("project")
def test_a_warning_is_exit_code_0(stavewright: Command) -> None:
    edit("content/handbook/index.md", "How to use", "## Times [0:10]\n\nHow to use")
    run = stavewright("check")
    assert "warning front-matter" in run.out
    assert run.code == 0


@pytest.mark.usefixtures("project")
def test_check_as_json(stavewright: Command) -> None:
    edit("content/answers/minor.md", "cadence.md", "cadense.md")
    run = stavewright("check", "--format", "json", "content/answers")
    document = json.loads(run.out)
    assert run.code == 1
    assert document["checked"] == {"articles": 3, "blocks": 3, "claims": 1}
    (finding,) = document["findings"]
    assert list(finding) == [
        "rule",
        "severity",
        "file",
        "line",
        "column",
        "end_column",
        "message",
        "suggestion",
        "reason",
    ]
    assert finding["suggestion"] == "cadence.md"


@pytest.mark.parametrize(
    ("paths", "articles"),
    [
        (["content"], 6),
        (["content/answers"], 3),
        (["content/answers/minor.md"], 1),
        (["content/answers/minor.md", "./content/answers/../answers/minor.md", "content"], 6),
        ([str(SMALL / "content/answers/minor.md")], 1),
    ],
    ids=["the site", "a folder", "a file", "the same again", "a site elsewhere"],
)
@pytest.mark.usefixtures("project")
def test_check_takes_files_and_folders(
    stavewright: Command, paths: list[str], articles: int
) -> None:
    run = stavewright("check", "--format", "json", *paths)
    document = json.loads(run.out)
    assert document["checked"]["articles"] == articles
    assert document["findings"] == []


@pytest.mark.usefixtures("project")
def test_what_cannot_be_checked_is_json_too(stavewright: Command) -> None:
    run = stavewright("check", "--format", "json", "content/nowhere.md")
    assert run.code == 2
    document = json.loads(run.out)
    assert document["findings"] == []
    assert document["problems"] == ["there is no file or folder content/nowhere.md"]
    document = json.loads(stavewright("check", "--format", "json", "content", "nowhere.md").out)
    assert document["checked"]["articles"] == 6
    assert document["problems"] == ["there is no file or folder nowhere.md"]


@pytest.mark.usefixtures("project")
def test_a_theme_that_is_not_there_is_found_at_its_name(stavewright: Command) -> None:
    edit("content/site.yaml", "theme: ../theme", "theme: quyre")
    run = stavewright("check")
    assert run.code == 1
    assert run.out.startswith("content/site.yaml:")
    assert "There is no theme `quyre`" in run.out
    assert "Try: quire" in run.out


def test_check_takes_markdown_without_a_site(
    stavewright: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "README.md").write_text("# Read me\n\nSee [the notes](docs/notes.md#two).\n")
    (tmp_path / "docs/notes.md").write_text(
        "# Notes\n\n## One\n\nBack [up](../README.md), [wrong](../REEDME.md#x), [away](#too).\n"
    )
    monkeypatch.chdir(tmp_path)
    run = stavewright("check", "--format", "json", ".")
    found = [
        (finding["file"], finding["line"], finding["column"])
        for finding in json.loads(run.out)["findings"]
    ]
    assert found == [("README.md", 3, 17), ("docs/notes.md", 5, 34), ("docs/notes.md", 5, 58)]
    one = json.loads(stavewright("check", "--format", "json", "README.md").out)
    assert [finding["line"] for finding in one["findings"]] == [3]


@pytest.mark.usefixtures("project")
def test_one_path_that_is_missing_does_not_hide_what_others_hold(stavewright: Command) -> None:
    run = stavewright("check", "content/answers/minor.md", "nowhere.md")
    assert run.code == 1
    assert run.err == "stavewright: there is no file or folder nowhere.md\n"
    assert run.out.startswith("Checked 1 article")


@pytest.mark.usefixtures("project")
def test_a_file_that_is_not_utf_8_is_a_finding_with_its_place(stavewright: Command) -> None:
    Path("content/answers/old.md").write_bytes(b"---\ntitle: caf\xe9\nkind: page\n---\n")
    run = stavewright("check", "content/answers/old.md")
    assert run.code == 1
    assert run.out.startswith("content/answers/old.md:2:11 error syntax\n")


@pytest.mark.usefixtures("project")
def test_many_findings_of_one_file_are_cut_short_unless_all_are_asked_for(
    stavewright: Command,
) -> None:
    links = "\n".join("[the cadence](cadense.md)" for _ in range(60))
    edit("content/answers/minor.md", "Back to", f"{links}\n\nBack to")
    run = stavewright("check")
    assert run.out.count(" error ") == 50
    more = "content/answers/minor.md: 10 more findings; `stavewright check --all` shows every one"
    assert more in run.out.splitlines()
    assert "60 errors" in run.out.splitlines()[-1]
    assert stavewright("check", "--all").out.count(" error ") == 60
    assert len(json.loads(stavewright("check", "--format", "json").out)["findings"]) == 60


@pytest.mark.usefixtures("project")
def test_a_pipe_is_not_waited_for(stavewright: Command) -> None:
    os.mkfifo("endless.md")
    run = stavewright("check", "endless.md", "/dev/zero")
    assert run.code == 2
    assert "endless.md is neither a file nor a folder" in run.err
    assert "/dev/zero is neither a file nor a folder" in run.err
