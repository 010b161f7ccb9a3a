"""Publishing builds a site without errors and puts it where the settings or the author say."""

import subprocess
from pathlib import Path

import pytest

from stavewright.site.errors import CannotRunError, OutputError
from stavewright.site.making.workshop import Workshop
from stavewright.site.publishing import Changes, Publication, Wish, publish_site
from stavewright.site.publishing import publish as publish_module
from stavewright.site.stages.values import Tools
from stavewright.site.store import Store
from stavewright.site.targets import Target, ToBranch, ToFolder, ToRsync
from stavewright.site.write import MARKER, is_ours
from tests.site.project import edit, files
from tests.site.published import git, needs_git, needs_rsync

CONTENT = Path("content")


def publish(makers: Workshop, target: Target | None = None, **wish: object) -> Publication:
    with Store.open(Path("kept.store")) as store:
        return publish_site(Wish(CONTENT, target=target, **wish), Tools(makers, store=store))


def test_publishing_puts_a_build_into_the_folder_of_the_settings(
    project: Path, makers: Workshop
) -> None:
    publication = publish(makers)
    assert publication.report.written
    assert publication.built == project / "public"
    assert MARKER in files(project / "public")
    good = files(project / "public")
    edit("content/answers/minor.md", "notes: 1/4 F#4", "notes: 1/4 H4")
    assert not publish(makers).report.written
    assert files(project / "public") == good


def test_publishing_refuses_a_folder_of_somebody_else(project: Path, makers: Workshop) -> None:
    (project / "public").mkdir()
    (project / "public/thesis.txt").write_text("ten years of work")
    for only_look in (True, False):
        with pytest.raises(OutputError, match="did not make it"):
            publish(makers, only_look=only_look)
    assert files(project / "public") == {"thesis.txt": b"ten years of work"}


@pytest.mark.usefixtures("project")
def test_publishing_needs_to_know_where_to(makers: Workshop) -> None:
    edit("content/site.yaml", "publish:\n  folder: ../public\n", "")
    with pytest.raises(CannotRunError, match="nothing says where to publish to"):
        publish(makers)


@pytest.mark.usefixtures("project")
def test_a_folder_is_not_pushed(makers: Workshop) -> None:
    with pytest.raises(CannotRunError, match="--push is for a branch"):
        publish(makers, remote="origin")


def test_a_look_at_a_folder(project: Path, makers: Workshop) -> None:
    publish(makers)
    before = files(project / "public")
    assert publish(makers, only_look=True).changes == Changes()
    edit("content/answers/minor.md", "One sentence.", "Another sentence.")
    (project / "content/answers/bell.svg").rename(project / "content/answers/bells.svg")
    edit("content/answers/cadence.md", "bell.svg", "bells.svg")
    changes = publish(makers, only_look=True).changes
    assert changes is not None
    assert (changes.new, changes.gone) == (("answers/bells.svg",), ("answers/bell.svg",))
    assert changes.changed == ("answers/cadence/index.html", "feed.xml")
    assert files(project / "public") == before


def test_a_look_needs_a_folder_to_build_in(project: Path, makers: Workshop) -> None:
    with pytest.raises(CannotRunError, match="the folder that the site is built in"):
        publish(makers, ToFolder(project / "site"), only_look=True)


@pytest.fixture
def repository(project: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The project as a git repository of somebody."""
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "A Bandleader")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "band@band.example")
    git(project, "init", "--quiet", "--initial-branch=main")
    return project


def published_to(repository: Path, branch: str) -> dict[str, bytes]:
    """The files of a branch, with the marker of the site in `site/` beside them."""
    command = ["git", "-C", str(repository), "archive", branch]
    archive = subprocess.run(command, capture_output=True, check=True).stdout
    (repository / "unpacked").mkdir()
    subprocess.run(["tar", "-x"], cwd=repository / "unpacked", input=archive, check=True)
    return {**files(repository / "unpacked"), MARKER: (repository / "site" / MARKER).read_bytes()}


@needs_git
def test_a_branch(repository: Path, makers: Workshop) -> None:
    edit("content/site.yaml", "folder: ../public", "branch: pages")
    look = publish(makers, only_look=True)
    assert git(repository, "for-each-ref") == ""
    publication = publish(makers)
    assert publication.changes == look.changes
    assert publication.changes is not None
    assert len(publication.changes.new) == len(files(repository / "site")) - 1
    assert published_to(repository, "pages") == files(repository / "site")


@needs_git
def test_a_build_with_errors_goes_to_no_branch(repository: Path, makers: Workshop) -> None:
    edit("content/answers/minor.md", "notes: 1/4 F#4", "notes: 1/4 H4")
    publication = publish(makers, ToBranch("pages"))
    assert publication.report.has_errors
    assert publication.changes is None
    assert git(repository, "for-each-ref") == ""


@needs_git
def test_a_site_with_drafts_that_stood_there_is_built_again(
    repository: Path, makers: Workshop
) -> None:
    from stavewright.site.pipeline import Options, build

    build(CONTENT, Path("site"), Options(drafts=True), Tools(makers))
    assert any("later" in path for path in files(repository / "site"))
    publish(makers, ToBranch("pages"))
    assert not any("later" in path for path in published_to(repository, "pages"))


@needs_git
def test_a_place_that_cannot_be_had_is_told_before_the_build(
    repository: Path, makers: Workshop
) -> None:
    with pytest.raises(CannotRunError, match="checked out"):
        publish(makers, ToBranch("main"))
    assert not (repository / "site").exists()


@needs_git
@pytest.mark.parametrize("way", ["edited", "built", "removed"])
def test_what_is_no_longer_as_the_build_left_it_does_not_go_out(
    repository: Path, makers: Workshop, monkeypatch: pytest.MonkeyPatch, way: str
) -> None:
    build = publish_module.build

    def and_then(content: Path, output: Path, *rest: object) -> object:
        report = build(content, output, *rest)
        page = output / "answers/minor/index.html"
        match way:
            case "edited":
                page.write_text("by hand")
            case "removed":
                page.unlink()
            case _:
                edit("content/answers/minor.md", "One sentence.", "Another sentence.")
                build(content, output, *rest)
        return report

    monkeypatch.setattr(publish_module, "build", and_then)
    with pytest.raises(OutputError, match="no longer as the build left it"):
        publish(makers, ToBranch("pages"))
    assert git(repository, "for-each-ref") == ""


@needs_git
def test_without_a_store_that_lasts_it_works_as_well(repository: Path, makers: Workshop) -> None:
    publish_site(Wish(CONTENT, target=ToBranch("pages")), Tools(makers))
    assert published_to(repository, "pages") == files(repository / "site")


@needs_rsync
def test_rsync(project: Path, makers: Workshop) -> None:
    edit("content/site.yaml", "folder: ../public", "rsync: ../public")
    look = publish(makers, only_look=True)
    assert not (project / "public").exists()
    assert publish(makers).changes == look.changes
    assert is_ours(project / "public")
    assert files(project / "public") == files(project / "site")
    assert publish(makers).changes == Changes()


@needs_rsync
def test_rsync_into_the_content_is_refused(project: Path, makers: Workshop) -> None:
    before = files(project)
    with pytest.raises(OutputError, match="lie in each other"):
        publish(makers, ToRsync("content/public"))
    assert files(project).keys() - {"kept.store"} == before.keys()
