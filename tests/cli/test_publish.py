"""What `publish` prints, for each place that a site can go to."""

from pathlib import Path

import pytest

from stavewright.commands.telling import say_publication
from stavewright.site.publishing import Changes, Publication
from tests.cli.running import Command, edit
from tests.site.published import git, needs_git

BUILT = "Checked 5 articles, 3 music blocks, 1 claim: nothing found.\nWrote 5 pages to "


@pytest.fixture
def repository(project: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The project as a git repository of somebody who has a remote."""
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "A Bandleader")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "band@band.example")
    git(project, "init", "--quiet", "--initial-branch=main")
    git(project.parent, "init", "--quiet", "--bare", "remote.git")
    git(project, "remote", "add", "origin", "../remote.git")
    return project


@needs_git
def test_a_branch_from_the_first_look_to_the_push(repository: Path, stavewright: Command) -> None:
    look = stavewright("publish", "--branch", "pages", "--dry-run")
    assert look.code == 0
    assert look.out.startswith(BUILT)
    assert "\nnew     answers/minor/index.html\n" in look.out
    assert look.out.endswith("\nWould publish to the branch pages: 32 files new.\n")
    run = stavewright("publish", "--branch", "pages")
    commit = git(repository, "rev-parse", "pages")[:10]
    assert run.out.endswith(
        f"\nPublished to the branch pages: 32 files new.\nCommitted it as {commit}.\n"
    )
    edit("content/answers/minor.md", "One sentence.", "Two sentences.")
    run = stavewright("publish", "--branch", "pages", "--push")
    assert "\nPublished to the branch pages: 1 file changed.\n" in run.out
    assert run.out.endswith(".\nPushed it to origin.\n")
    again = stavewright("publish", "--branch", "pages")
    assert again.out.endswith("\nNothing changed in the branch pages.\n")


@needs_git
def test_errors_are_shown_and_nothing_is_published(repository: Path, stavewright: Command) -> None:
    edit("content/answers/minor.md", "notes: 1/4 F#4", "notes: 1/4 H4")
    run = stavewright("publish", "--branch", "pages", "--push")
    assert run.code == 1
    assert "H is the German name" in run.out
    assert "ublish" not in run.out
    assert git(repository, "for-each-ref") == ""


@pytest.mark.usefixtures("project")
def test_a_folder_is_told_as_a_build(stavewright: Command) -> None:
    run = stavewright("publish", "--folder", "public")
    assert run.out == f"{BUILT}public; 1 draft left out (`draft: true`).\n"


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--folder", "x", "--branch", "y"], "Name one place"),
        (["--branch", "x", "--rsync", "y"], "Name one place"),
        (["--repository", "x"], "--repository goes with --branch"),
    ],
)
def test_places_that_do_not_go_together(
    stavewright: Command, options: list[str], said: str
) -> None:
    run = stavewright("publish", *options)
    assert run.code == 2
    assert said in run.err


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--rsync", "-oProxyCommand=x:y"], "does not begin with `-`"),
        (["--push"], "--push is for a branch"),
    ],
)
@pytest.mark.usefixtures("project")
def test_what_cannot_be_published_to(stavewright: Command, options: list[str], said: str) -> None:
    run = stavewright("publish", *options)
    assert run.code == 2
    assert run.err.startswith("stavewright: ")
    assert said in run.err


def test_many_files_are_counted_and_a_hostile_name_is_shown_without_its_escapes(
    capsys: pytest.CaptureFixture[str],
) -> None:
    new = tuple(f"page{number:03}" for number in range(60))
    changes = Changes(new=new, gone=("\x1b[31mred",))
    # What it says of a publication needs no build.
    publication = Publication(None, Path("site"), changes, "the branch pages")  # type: ignore[arg-type]
    say_publication(publication, only_look=True)
    lines = capsys.readouterr().out.splitlines()
    assert lines[49:] == [
        "new     page049",
        "new     … and 10 more",
        "gone    \N{REPLACEMENT CHARACTER}[31mred",
        "Would publish to the branch pages: 60 files new, 1 gone.",
    ]
