"""Publishing to a branch: one commit, and nothing that the author works on is touched."""

import multiprocessing
import os
import subprocess
from itertools import count
from pathlib import Path

import pytest

from stavewright.site.errors import CannotRunError
from stavewright.site.publishing.branch import Branch
from stavewright.site.publishing.changes import Changes, Site
from stavewright.site.targets import ToBranch
from tests.faults.dying import KILLED
from tests.site.project import files
from tests.site.published import HOSTILE, git, needs_git, write
from tests.site.stopping import publish_until

pytestmark = needs_git

OLD = {"index.html": "old", "answers/minor/index.html": "same", "gone/x.txt": "x"}
NEW = {"index.html": "new", "answers/minor/index.html": "same", "more/y.txt": "y"}


@pytest.fixture(autouse=True)
def _settings_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Git with an author and nothing else that this computer's owner has set."""
    settings = tmp_path / "gitconfig"
    settings.write_text("[user]\nname = A Bandleader\nemail = band@band.example\n")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(settings))
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")


@pytest.fixture
def work(tmp_path: Path) -> Path:
    """The author's repository, in the middle of some work."""
    folder = tmp_path / "work"
    (folder / "content").mkdir(parents=True)
    (folder / "content/index.md").write_text("as committed")
    git(folder, "init", "--quiet", "--initial-branch=main")
    git(folder, "add", ".")
    git(folder, "commit", "--quiet", "-m", "Begin")
    (folder / "content/index.md").write_text("as staged")
    git(folder, "add", ".")
    (folder / "content/index.md").write_text("as it stands")
    (folder / "untracked.txt").write_text("mine")
    return folder


def branch(work: Path, name: str = "pages", remote: str | None = None) -> Branch:
    return Branch.of(ToBranch(name, remote=remote), work / "content")


def texts_of(work: Path, name: str) -> dict[str, str]:
    paths = git(work, "ls-tree", "-r", "-z", "--name-only", name).split("\0")
    return {path: git(work, "cat-file", "blob", f"{name}:{path}") for path in paths if path}


def untouched(work: Path) -> dict[str, object]:
    """All that publishing must leave as it is."""
    return {
        "files": {path: data for path, data in files(work).items() if not path.startswith(".git/")},
        "index": (work / ".git/index").read_bytes(),
        "head": (work / ".git/HEAD").read_bytes(),
        "branches": git(work, "for-each-ref", "refs/heads/main"),
        "status": git(work, "status", "--porcelain"),
    }


def test_a_publication_is_one_commit_and_touches_nothing_else(work: Path, tmp_path: Path) -> None:
    before = untouched(work)
    changes, said = branch(work).publish(write(OLD, tmp_path / "site"))
    assert changes == Changes(new=tuple(sorted(OLD)))
    assert texts_of(work, "pages") == OLD
    assert git(work, "rev-list", "--count", "pages") == "1"
    assert git(work, "log", "-1", "--format=%an %ce", "pages") == "A Bandleader band@band.example"
    assert said == (f"Committed it as {git(work, 'rev-parse', 'pages')[:10]}.",)
    assert untouched(work) == before
    git(work, "fsck", "--strict")


def test_the_next_one_goes_on_from_the_last(work: Path, tmp_path: Path) -> None:
    branch(work).publish(write(OLD, tmp_path / "site"))
    first = git(work, "rev-parse", "pages")
    changes, _ = branch(work).publish(write(NEW, tmp_path / "site"))
    assert changes == Changes(("more/y.txt",), ("index.html",), ("gone/x.txt",))
    assert texts_of(work, "pages") == NEW
    assert git(work, "rev-parse", "pages^") == first


def test_where_nothing_changed_nothing_is_committed(work: Path, tmp_path: Path) -> None:
    site = write(OLD, tmp_path / "site")
    branch(work).publish(site)
    first = git(work, "rev-parse", "pages")
    assert branch(work).publish(site) == (Changes(), ())
    assert git(work, "rev-parse", "pages") == first


def test_a_look_writes_nothing_at_all(work: Path, tmp_path: Path) -> None:
    branch(work).publish(write(OLD, tmp_path / "site"))
    before = files(work)
    changes = branch(work).changes(write(NEW, tmp_path / "site"))
    assert changes == Changes(("more/y.txt",), ("index.html",), ("gone/x.txt",))
    assert files(work) == before


def test_files_of_the_site_are_taken_to_the_byte(work: Path, tmp_path: Path) -> None:
    git(work, "config", "core.autocrlf", "input")
    (work / ".git/info/attributes").write_text("* text eol=lf\n")
    branch(work).publish(write({"a.txt": "one\r\ntwo\r\n"}, tmp_path / "site"))
    shown = subprocess.run(
        ["git", "-C", str(work), "cat-file", "blob", "pages:a.txt"], capture_output=True, check=True
    )
    assert shown.stdout == b"one\r\ntwo\r\n"


def test_names_that_look_like_something_else(work: Path, tmp_path: Path) -> None:
    branch(work).publish(write(HOSTILE, tmp_path / "a\nb" / "site"))
    assert texts_of(work, "pages") == HOSTILE
    git(work, "fsck", "--strict")


def test_other_files_beside_the_site_stay_at_home(work: Path, tmp_path: Path) -> None:
    site = write(OLD, tmp_path / "site")
    (tmp_path / "site/.DS_Store").write_text("litter")
    branch(work).publish(site)
    assert texts_of(work, "pages").keys() == OLD.keys()


@pytest.mark.parametrize(
    "name", ["", "-d", "--all", "a b", "../x", "x.lock", "HEAD", "@{-1}", "é\0"]
)
def test_names_that_no_branch_can_have(work: Path, name: str) -> None:
    with pytest.raises(CannotRunError, match="git takes no branch by the name"):
        branch(work, name)


def test_a_name_that_a_shell_would_obey_is_a_name(work: Path, tmp_path: Path) -> None:
    branch(work, "x;$(id)'é").publish(write(OLD, tmp_path / "site"))
    assert texts_of(work, "refs/heads/x;$(id)'é") == OLD


def test_the_branch_one_stands_on_is_refused(work: Path) -> None:
    with pytest.raises(CannotRunError, match=r"the branch main is checked out in .*work"):
        branch(work, "main")


def test_a_branch_that_is_to_be_born_is_refused(work: Path) -> None:
    git(work, "symbolic-ref", "HEAD", "refs/heads/pages")
    with pytest.raises(CannotRunError, match="checked out"):
        branch(work)


def test_a_branch_checked_out_in_another_worktree_is_refused(work: Path, tmp_path: Path) -> None:
    site = write(OLD, tmp_path / "site")
    ready = branch(work)
    ready.publish(site)
    git(work, "worktree", "add", "--quiet", str(tmp_path / "beside"), "pages")
    with pytest.raises(CannotRunError, match=r"checked out in .*beside"):
        branch(work)
    # And also if that happened while the site was built.
    first = git(work, "rev-parse", "pages")
    with pytest.raises(CannotRunError, match=r"checked out in .*beside"):
        ready.publish(write(NEW, tmp_path / "site"))
    assert git(work, "rev-parse", "pages") == first


def test_content_in_a_worktree_publishes_to_the_one_repository(work: Path, tmp_path: Path) -> None:
    git(work, "worktree", "add", "--quiet", "-b", "draft", str(tmp_path / "beside"))
    branch(tmp_path / "beside").publish(write(OLD, tmp_path / "site"))
    assert texts_of(work, "pages") == OLD


def test_a_branch_that_is_another_name_for_ones_own_is_refused(work: Path) -> None:
    git(work, "symbolic-ref", "refs/heads/pages", "refs/heads/main")
    with pytest.raises(CannotRunError, match="another name for refs/heads/main"):
        branch(work)


def test_a_branch_with_work_of_the_author_is_refused(work: Path) -> None:
    git(work, "branch", "pages")
    with pytest.raises(CannotRunError, match=r"that Stavewright did not make, \w{10} \(Begin\)"):
        branch(work)


def test_a_branch_that_was_begun_without_files_is_gone_on_from(work: Path, tmp_path: Path) -> None:
    empty = git(work, "commit-tree", "-m", "Nothing yet", git(work, "mktree"))
    git(work, "branch", "pages", empty)
    branch(work).publish(write(OLD, tmp_path / "site"))
    assert git(work, "rev-parse", "pages^") == empty


def test_no_repository(tmp_path: Path) -> None:
    (tmp_path / "content").mkdir()
    with pytest.raises(CannotRunError, match="lies in no git repository"):
        branch(tmp_path)


def test_a_repository_that_is_named(work: Path, tmp_path: Path) -> None:
    git(tmp_path, "init", "--quiet", "--bare", "other.git")
    target = ToBranch("pages", tmp_path / "other.git")
    Branch.of(target, work / "content").publish(write(OLD, tmp_path / "site"))
    assert texts_of(tmp_path / "other.git", "pages") == OLD
    with pytest.raises(CannotRunError, match="there is no folder"):
        Branch.of(ToBranch("pages", tmp_path / "nowhere"), work / "content")


def test_no_git(work: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    with pytest.raises(CannotRunError, match="no program `git`"):
        branch(work)


def test_nobody_to_commit_as(work: Path, tmp_path: Path) -> None:
    (tmp_path / "gitconfig").write_text("[user]\nuseConfigOnly = true\n")
    with pytest.raises(CannotRunError, match=r"git config --global user\.name"):
        branch(work)


def test_a_hooks_own_repository_is_not_taken_for_the_authors(
    work: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(tmp_path, "init", "--quiet", "--bare", "other.git")
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "other.git"))
    monkeypatch.setenv("GIT_INDEX_FILE", str(work / ".git/index"))
    index = (work / ".git/index").read_bytes()
    branch(work).publish(write(OLD, tmp_path / "site"))
    monkeypatch.delenv("GIT_DIR")
    monkeypatch.delenv("GIT_INDEX_FILE")
    assert texts_of(work, "pages") == OLD
    assert (work / ".git/index").read_bytes() == index


@pytest.fixture
def remote(work: Path, tmp_path: Path) -> Path:
    """A bare repository that the author's knows as `origin`, by a path relative to its top."""
    git(tmp_path, "init", "--quiet", "--bare", "remote.git")
    git(work, "remote", "add", "origin", "../remote.git")
    return tmp_path / "remote.git"


def test_a_push(work: Path, remote: Path, tmp_path: Path) -> None:
    _, said = branch(work, remote="origin").publish(write(OLD, tmp_path / "site"))
    assert said[-1] == "Pushed it to origin."
    assert texts_of(remote, "pages") == OLD
    assert git(remote, "for-each-ref", "--format=%(refname)") == "refs/heads/pages"


def test_without_a_remote_nothing_is_pushed(work: Path, remote: Path, tmp_path: Path) -> None:
    branch(work).publish(write(OLD, tmp_path / "site"))
    assert git(remote, "for-each-ref") == ""
    # Asked for later, it is caught up with, though nothing changed.
    changes, said = branch(work, remote="origin").publish(write(OLD, tmp_path / "site"))
    assert (changes, said) == (Changes(), ("Pushed it to origin.",))
    assert texts_of(remote, "pages") == OLD


@pytest.mark.parametrize("name", ["orgin", "--mirror", "../remote.git", ""])
@pytest.mark.usefixtures("remote")
def test_only_a_remote_that_the_repository_knows(work: Path, name: str) -> None:
    with pytest.raises(CannotRunError, match="it knows `origin`"):
        branch(work, remote=name)


def elsewhere(remote: Path, folder: Path) -> Path:
    """Another computer of the same author."""
    git(folder, "clone", "--quiet", str(remote), "laptop")
    (folder / "laptop/content").mkdir()
    return folder / "laptop"


def test_from_another_computer_it_goes_on_from_what_that_published(
    work: Path, remote: Path, tmp_path: Path
) -> None:
    branch(work, remote="origin").publish(write(OLD, tmp_path / "site"))
    laptop = elsewhere(remote, tmp_path)
    branch(laptop, remote="origin").publish(write(NEW, tmp_path / "site"))
    assert texts_of(remote, "pages") == NEW
    assert git(remote, "rev-list", "--count", "pages") == "2"
    # And back again, once this one has heard of it.
    git(work, "fetch", "--quiet")
    branch(work, remote="origin").publish(write(OLD, tmp_path / "site"))
    assert git(remote, "rev-list", "--count", "pages") == "3"


def test_a_push_that_is_rejected_has_a_way_out(work: Path, remote: Path, tmp_path: Path) -> None:
    branch(work, remote="origin").publish(write(OLD, tmp_path / "site"))
    laptop = elsewhere(remote, tmp_path)
    branch(laptop, remote="origin").publish(write(NEW, tmp_path / "site"))
    theirs = git(remote, "rev-parse", "pages")
    mine = {"index.html": "mine"}
    with pytest.raises(CannotRunError, match="Nothing was overwritten") as refused:
        branch(work, remote="origin").publish(write(mine, tmp_path / "site"))
    assert git(remote, "rev-parse", "pages") == theirs
    command = next(line for line in str(refused.value).splitlines() if line.startswith("  git"))
    subprocess.run(command, shell=True, cwd=work, check=True, capture_output=True)
    branch(work, remote="origin").publish(write(mine, tmp_path / "site"))
    assert git(remote, "rev-parse", "pages^") == theirs
    assert texts_of(remote, "pages") == mine


def test_an_unrelated_history_at_the_remote_is_never_overwritten(
    work: Path, remote: Path, tmp_path: Path
) -> None:
    git(work, "push", "--quiet", "origin", "main:pages")
    git(work, "update-ref", "-d", "refs/remotes/origin/pages")
    theirs = git(remote, "rev-parse", "pages")
    for _ in range(2):
        with pytest.raises(CannotRunError, match="Nothing was overwritten"):
            branch(work, remote="origin").publish(write(OLD, tmp_path / "site"))
        assert git(remote, "rev-parse", "pages") == theirs


def test_a_remote_that_refuses_is_quoted_without_its_escapes(
    work: Path, remote: Path, tmp_path: Path
) -> None:
    hook = remote / "hooks/pre-receive"
    hook.parent.mkdir(exist_ok=True)
    hook.write_text("#!/bin/sh\nprintf 'no \\033[31mroom\\n' >&2\nexit 1\n")
    hook.chmod(0o755)
    with pytest.raises(CannotRunError, match="could not be pushed to origin") as refused:
        branch(work, remote="origin").publish(write(OLD, tmp_path / "site"))
    assert "room" in str(refused.value)
    assert "\033" not in str(refused.value)
    assert texts_of(work, "pages") == OLD


def test_a_remote_that_cannot_be_reached(work: Path, tmp_path: Path) -> None:
    git(work, "remote", "add", "origin", str(tmp_path / "nowhere"))
    with pytest.raises(CannotRunError, match="could not be pushed to origin"):
        branch(work, remote="origin").publish(write(OLD, tmp_path / "site"))
    assert texts_of(work, "pages") == OLD


def test_a_branch_that_moves_in_between_is_not_moved_back(
    work: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    branch(work).publish(write(OLD, tmp_path / "site"))
    ready = branch(work)
    tree_of = ready.repository.tree_of

    def late(contents: dict[str, tuple[str, str]]) -> str:
        branch(work).publish(write({"index.html": "theirs"}, tmp_path / "other"))
        return tree_of(contents)

    monkeypatch.setattr(ready.repository, "tree_of", late)
    with pytest.raises(CannotRunError, match="git could not run `git update-ref`"):
        ready.publish(write(NEW, tmp_path / "site"))
    assert texts_of(work, "pages") == {"index.html": "theirs"}


def test_killed_at_any_step_the_branch_has_moved_or_not(work: Path, tmp_path: Path) -> None:
    branch(work).publish(write(OLD, tmp_path / "site"))
    before = untouched(work)
    site = write(NEW, tmp_path / "site")
    processes = multiprocessing.get_context("forkserver")
    seen = set()
    for step in count():
        process = processes.Process(target=commit_until, args=(step, work, site))
        process.start()
        process.join()
        texts = texts_of(work, "pages")
        assert texts in (OLD, NEW)
        assert untouched(work) == before
        seen.add(texts == NEW)
        if process.exitcode != KILLED:
            assert process.exitcode == 0
            break
    assert seen == {False, True}
    assert git(work, "rev-list", "--count", "pages") == "2"
    git(work, "fsck", "--strict")


def commit_until(step: int, work: Path, site: Site) -> None:
    os.chdir(work)
    publish_until(step, lambda: branch(work).publish(site))
