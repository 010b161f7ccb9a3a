"""Publishing by rsync: between folders, with the real program, and never a stranger's file lost."""

import multiprocessing
import os
import shutil
import stat
from itertools import count
from pathlib import Path

import pytest

from stavewright.site.errors import CannotRunError, OutputError
from stavewright.site.publishing import rsync
from stavewright.site.publishing.changes import Changes, Site
from stavewright.site.publishing.rsync import Destination
from stavewright.site.publishing.rsync_words import escaped, is_inside, listed_entries, sent_files
from stavewright.site.targets import ToRsync
from stavewright.site.write import MARKER, listed
from tests.faults.dying import KILLED
from tests.site.project import files
from tests.site.published import HOSTILE, needs_rsync, write
from tests.site.stopping import publish_until

OLD = {"index.html": "old", "answers/minor/index.html": "same", "gone/deep/x.txt": "x"}
NEW = {"index.html": "new", "answers/minor/index.html": "same", "more/y.txt": "y"}


@pytest.fixture
def there(tmp_path: Path) -> Path:
    """The destination: an empty folder."""
    folder = tmp_path / "there"
    folder.mkdir()
    return folder


def to(folder: Path) -> Destination:
    return Destination.of(ToRsync(str(folder)))


def as_it_lies(path: Path) -> tuple[int, int, int]:
    """What would differ if a file had been written again; reading it changes none of this."""
    status = path.stat()
    return status.st_ino, status.st_mtime_ns, status.st_ctime_ns


def texts_in(folder: Path) -> dict[str, str]:
    return {path: data.decode() for path, data in files(folder).items() if path != MARKER}


@needs_rsync
@pytest.mark.parametrize("name", ["there", "not/yet/there", "a:b", "with  spaces\t and é"])
def test_a_first_publication(tmp_path: Path, name: str) -> None:
    site = write(OLD, tmp_path / "site")
    (tmp_path / "there").mkdir()
    name = name.replace("\t", "")
    destination = to(tmp_path / name)
    assert destination.changes(site) == Changes(new=tuple(sorted(OLD)))
    assert destination.publish(site) == Changes(new=tuple(sorted(OLD)))
    assert files(tmp_path / name) == files(tmp_path / "site")


@needs_rsync
def test_the_next_one_changes_what_changed(tmp_path: Path, there: Path) -> None:
    to(there).publish(write(OLD, tmp_path / "site"))
    same = as_it_lies(there / "answers/minor/index.html")
    site = write(NEW, tmp_path / "site")
    expected = Changes(("more/y.txt",), ("index.html",), ("gone/deep/x.txt",))
    before = files(there)
    assert to(there).changes(site) == expected
    assert files(there) == before
    assert to(there).publish(site) == expected
    assert files(there) == files(tmp_path / "site")
    assert not (there / "gone").exists()
    assert as_it_lies(there / "answers/minor/index.html") == same
    assert to(there).publish(site) == Changes()


@needs_rsync
def test_a_change_that_keeps_size_and_time_is_seen(tmp_path: Path, there: Path) -> None:
    to(there).publish(write(OLD, tmp_path / "site"))
    site = write({**OLD, "index.html": "OLD"}, tmp_path / "site")
    for folder in (there, site.folder):
        os.utime(folder / "index.html", (0, 0))
    assert to(there).publish(site).changed == ("index.html",)


@needs_rsync
def test_everybody_may_read_what_was_written_privately(tmp_path: Path, there: Path) -> None:
    site = write(OLD, tmp_path / "site")
    for path in OLD:
        (site.folder / path).chmod(0o600)
    to(there).publish(site)
    assert stat.S_IMODE((there / "index.html").stat().st_mode) & 0o044 == 0o044


@needs_rsync
def test_strangers_files_beside_a_site_stay(tmp_path: Path, there: Path) -> None:
    to(there).publish(write(OLD, tmp_path / "site"))
    theirs = {
        "thesis.txt": "ten years of work",
        "gone/deep/theirs.txt": "in a folder of a page that goes",
        "answers/minor/notes.txt": "beside a page that stays",
        ".htaccess": "the host's",
    }
    for path, text in theirs.items():
        (there / path).write_text(text)
    (there / "gone/link").symlink_to(tmp_path)
    (there / "gone/empty").mkdir()
    to(there).publish(write(NEW, tmp_path / "site"))
    assert texts_in(there) == {**NEW, **theirs}
    assert (there / "gone/link").is_symlink()
    assert (there / "gone/empty").is_dir()


@needs_rsync
@pytest.mark.parametrize("name", ["thesis.txt", "index.html", "-rf", "folder", "link", "pipe", "é"])
def test_a_strangers_folder_is_refused(tmp_path: Path, there: Path, name: str) -> None:
    if name == "folder":
        (there / name).mkdir()
    elif name == "link":
        (there / name).symlink_to("nowhere")
    elif name == "pipe":
        os.mkfifo(there / name)
    else:
        (there / name).write_text("ten years of work")
    site = write(OLD, tmp_path / "site")
    for publish in (to(there).changes, to(there).publish):
        with pytest.raises(OutputError, match=f"holds '{name}"):
            publish(site)
        assert os.listdir(there) == [name]


@needs_rsync
@pytest.mark.parametrize("marker", ["text", "link", "folder"])
def test_a_marker_that_is_not_ours_is_refused(tmp_path: Path, there: Path, marker: str) -> None:
    site = write(OLD, tmp_path / "site")
    match marker:
        case "text":
            (there / MARKER).write_text("index.html\n")
        case "link":
            (there / MARKER).symlink_to(site.folder / MARKER)
        case _:
            (there / MARKER).mkdir()
    with pytest.raises(OutputError, match="did not put there"):
        to(there).publish(site)
    assert os.listdir(there) == [MARKER]


@needs_rsync
def test_what_a_host_hides_in_an_empty_folder_is_no_stranger(tmp_path: Path, there: Path) -> None:
    (there / ".htaccess").write_text("the host's")
    (there / ".well-known").mkdir()
    to(there).publish(write(OLD, tmp_path / "site"))
    assert texts_in(there) == {**OLD, ".htaccess": "the host's"}
    assert (there / ".well-known").is_dir()


@needs_rsync
@pytest.mark.parametrize("kind", ["file", "folder", "link", "above", "above-link"])
def test_a_strangers_file_in_the_way_is_refused(tmp_path: Path, there: Path, kind: str) -> None:
    to(there).publish(write(OLD, tmp_path / "site"))
    place = there / "more/y.txt"
    match kind:
        case "file":
            place.parent.mkdir()
            place.write_text("theirs")
        case "folder":
            place.mkdir(parents=True)
        case "link":
            place.parent.mkdir()
            place.symlink_to("nowhere")
        case "above":
            place.parent.write_text("theirs")
        case _:
            (tmp_path / "elsewhere").mkdir()
            place.parent.symlink_to(tmp_path / "elsewhere")
    before = files(there)
    site = write(NEW, tmp_path / "site")
    for publish in (to(there).changes, to(there).publish):
        with pytest.raises(OutputError, match="holds 'more"):
            publish(site)
        assert files(there) == before


@needs_rsync
def test_a_file_that_becomes_a_folder_and_the_other_way_round(tmp_path: Path, there: Path) -> None:
    one = {"a": "file", "b/c/d": "deep", "b/e": "e", "index.html": ""}
    other = {"a/x/y": "deep", "b": "file", "index.html": ""}
    to(there).publish(write(one, tmp_path / "site"))
    to(there).publish(write(other, tmp_path / "site"))
    assert texts_in(there) == other
    to(there).publish(write(one, tmp_path / "site"))
    assert files(there) == files(tmp_path / "site")


@needs_rsync
def test_many_files_that_go_are_deleted_in_portions(
    tmp_path: Path, there: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rsync, "_RULES", 2)
    many = {f"gone/{number % 3}/{number}.txt": "" for number in range(11)}
    to(there).publish(write({**OLD, **many}, tmp_path / "site"))
    changes = to(there).publish(write(NEW, tmp_path / "site"))
    assert changes.gone == tuple(sorted([*many, "gone/deep/x.txt"]))
    assert files(there) == files(tmp_path / "site")
    assert not (there / "gone").exists()


@needs_rsync
def test_names_that_look_like_something_else(tmp_path: Path, there: Path) -> None:
    site = write(HOSTILE, tmp_path / "s:i te\n*" / "-site")
    assert to(there).publish(site) == Changes(new=site.files)
    assert texts_in(there) == HOSTILE
    near = {"* [ab]?/x.html": "a", "x [ab]?/y.html": "a", "* aq/y.html": "a", "P x": "", "!!": ""}
    for path, text in near.items():
        (there / path).parent.mkdir(exist_ok=True)
        (there / path).write_text(text)
    changes = to(there).publish(write({"index.html": ""}, tmp_path / "site"))
    assert changes == Changes(("index.html",), (), site.files)
    assert texts_in(there) == {**near, "index.html": ""}


@needs_rsync
def test_a_marker_that_names_what_lies_elsewhere_deletes_nothing_there(
    tmp_path: Path, there: Path
) -> None:
    to(there).publish(write(OLD, tmp_path / "site"))
    (tmp_path / "outside.txt").write_text("ten years of work")
    (there / "theirs.txt").write_text("theirs")
    with (there / MARKER).open("a") as marker:
        marker.write(f"../outside.txt\n{tmp_path}/outside.txt\n*\nx\0R *\n.\n/\n\n{MARKER}\n")
    to(there).publish(write(NEW, tmp_path / "site"))
    assert texts_in(there) == {**NEW, "theirs.txt": "theirs"}
    assert (tmp_path / "outside.txt").exists()


@needs_rsync
def test_a_site_published_to_a_folder_can_go_on_by_rsync(tmp_path: Path) -> None:
    write(OLD, tmp_path / "public")
    to(tmp_path / "public").publish(write(NEW, tmp_path / "site"))
    assert files(tmp_path / "public") == files(tmp_path / "site")
    write(OLD, tmp_path / "public")
    assert texts_in(tmp_path / "public") == OLD


@needs_rsync
def test_killed_at_any_step_the_next_one_knows_all_of_it(tmp_path: Path) -> None:
    old, new = write(OLD, tmp_path / "old"), write(NEW, tmp_path / "new")
    processes = multiprocessing.get_context("forkserver")
    for step in count():
        there = tmp_path / f"there{step}"
        to(there).publish(old)
        process = processes.Process(target=send_until, args=(step, there, new))
        process.start()
        process.join()
        assert set(texts_in(there)) <= set(listed(there))
        to(there).publish(new)
        assert files(there) == files(new.folder)
        if process.exitcode != KILLED:
            assert process.exitcode == 0
            break
    assert step > 4


def send_until(step: int, there: Path, site: Site) -> None:
    publish_until(step, lambda: to(there).publish(site))


@needs_rsync
def test_what_rsync_says_is_passed_on(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(CannotRunError, match=r"it says:\n  rsync"):
        to(tmp_path / "file").changes(write(OLD, tmp_path / "site"))


@needs_rsync
def test_over_a_remote_shell(tmp_path: Path, there: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With a shell that leaves out the host and runs what it is given here."""
    shell = tmp_path / "shell"
    shell.write_text('#!/bin/sh\nwhile [ "$1" = -l ]; do shift 2; done\nshift\nexec "$@"\n')
    shell.chmod(0o755)
    monkeypatch.setenv("RSYNC_RSH", str(shell))
    destination = Destination.of(ToRsync(f"me@host.example:{there}/pub"))
    destination.publish(write({**OLD, **HOSTILE}, tmp_path / "site"))
    destination.publish(write(NEW, tmp_path / "site"))
    assert files(there / "pub") == files(tmp_path / "site")


@pytest.mark.parametrize(
    "name", ["", " ", "-e sh", "--rsh=x:y", "-oProxyCommand=x:y", "me@-oX:y", "a\nb", "a\0b:c"]
)
def test_destinations_that_rsync_shall_not_be_given(name: str) -> None:
    with pytest.raises(CannotRunError, match="a destination for rsync"):
        Destination.of(ToRsync(name))


def test_a_destination_lies_apart_from_content_and_output(tmp_path: Path) -> None:
    content = tmp_path / "project/content"
    content.mkdir(parents=True)
    for folder in (content, content / "x", tmp_path / "project"):
        with pytest.raises(OutputError, match="lie in each other"):
            Destination.of(ToRsync(str(folder)), content)


def test_no_rsync(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    assert shutil.which("rsync") is None
    with pytest.raises(CannotRunError, match="no program `rsync`"):
        to(tmp_path)


def test_what_was_sent_is_read_from_what_rsync_says() -> None:
    told = (
        "cd+++++++++ a/\n>f+++++++++ a/x y\n<f.st...... b\n>fcsT...... c\n"
        "*deleting   d\n.f..t...... e"
    )
    assert sent_files(told) == (("a/x y",), ("b", "c"))


def test_a_listing_is_read() -> None:
    told = (
        "skipping something\n"
        "drwxr-xr-x          4,096 2026/11/28 07:59:32 .\n"
        "lrwxrwxrwx+             5 2026/11/28 07:59:32 lnk -> other\n"
        "-rw-r--r--  1,234,567,890 2026/11/28 07:59:32 two  words \n"
        "drwxr-xr-x.         4.096 2026/11/28 07:59:32 answers"
    )
    expected = [("lnk -> other", False), ("two  words ", False), ("answers", True)]
    assert list(listed_entries(told)) == expected


def test_names_in_rules() -> None:
    assert escaped("a*b?[c]/d") == r"a\*b\?\[c]/d"
    assert is_inside("a/.b/c")
    assert not any(map(is_inside, ["", "/a", "a/", "a//b", "../a", "a/./b", "a\0b", MARKER]))
