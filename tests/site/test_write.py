"""The written site: whole or not at all, and nothing of anybody else's is lost."""

import os
from pathlib import Path

import pytest

from stavewright.site.errors import OutputError
from stavewright.site.write import MARKER, OutputFile, recover, refuse_unsafe, write_site
from stavewright.site.write.folders import building_beside

OLD = (OutputFile("index.html", b"old"), OutputFile("a/index.html", b"old a"))
NEW = (OutputFile("index.html", b"new"), OutputFile("b/index.html", b"new b"))


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, the marker left out."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != MARKER
    }


def content_of(files: tuple[OutputFile, ...]) -> dict[str, bytes]:
    return {file.path: file.data for file in files if isinstance(file.data, bytes)}


def test_a_new_site_replaces_the_old_one_whole(tmp_path: Path) -> None:
    site = tmp_path / "deep" / "site"
    write_site(OLD, site)
    assert tree(site) == content_of(OLD)
    write_site(NEW, site)
    assert tree(site) == content_of(NEW)
    assert [path.name for path in site.parent.iterdir()] == ["site"]


def test_files_are_copied_byte_by_byte(tmp_path: Path) -> None:
    picture = tmp_path / "bell.png"
    picture.write_bytes(bytes(range(256)))
    write_site([OutputFile("pictures/bell.png", picture)], tmp_path / "site")
    assert (tmp_path / "site/pictures/bell.png").read_bytes() == picture.read_bytes()


def test_a_build_that_fails_half_way_leaves_the_old_site(tmp_path: Path) -> None:
    site = tmp_path / "site"
    write_site(OLD, site)
    with pytest.raises(OSError, match="gone"):
        write_site([*NEW, OutputFile("gone.png", tmp_path / "gone.png")], site)
    assert tree(site) == content_of(OLD)
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


@pytest.mark.parametrize("moment", ["before the second rename", "after the first rename"])
@pytest.mark.parametrize("error", [OSError, KeyboardInterrupt])
def test_a_swap_that_is_broken_off_brings_the_old_site_back(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    moment: str,
    error: type[BaseException],
) -> None:
    site = tmp_path / "site"
    write_site(OLD, site)
    rename = Path.rename

    def failing(self: Path, target: Path) -> Path:
        if ".building-" in self.name and moment == "before the second rename":
            raise error
        renamed = rename(self, target)
        if self == site and moment == "after the first rename":
            raise error
        return renamed

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(error):
        write_site(NEW, site)
    monkeypatch.undo()
    assert tree(site) == content_of(OLD)
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    write_site(NEW, tmp_path / "site")
    assert tree(tmp_path / "site") == content_of(NEW)


def test_a_folder_of_somebody_else_is_refused_and_untouched(tmp_path: Path) -> None:
    site = tmp_path / "site"
    site.mkdir()
    (site / "thesis.txt").write_text("ten years of work")
    with pytest.raises(OutputError, match="did not make it"):
        write_site(NEW, site)
    assert tree(site) == {"thesis.txt": b"ten years of work"}


def test_a_file_that_was_put_into_the_site_is_never_deleted(tmp_path: Path) -> None:
    site = tmp_path / "site"
    write_site(OLD, site)
    (site / "a" / "notes.txt").write_text("mine")
    with pytest.raises(OutputError, match=r"a/notes\.txt"):
        write_site(NEW, site)
    assert tree(site) == content_of(OLD) | {"a/notes.txt": b"mine"}


def test_a_link_that_was_put_into_the_site_is_not_followed(tmp_path: Path) -> None:
    site, elsewhere = tmp_path / "site", tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "thesis.txt").write_text("ten years of work")
    write_site(OLD, site)
    (site / "link").symlink_to(elsewhere, target_is_directory=True)
    with pytest.raises(OutputError, match="link"):
        write_site(NEW, site)
    assert tree(elsewhere) == {"thesis.txt": b"ten years of work"}


def test_what_file_browsers_drop_is_no_reason_to_refuse(tmp_path: Path) -> None:
    site = tmp_path / "site"
    write_site(OLD, site)
    (site / ".DS_Store").write_bytes(b"\0")
    write_site(NEW, site)
    assert tree(site) == content_of(NEW)


def test_a_marker_of_another_tool_is_not_ours(tmp_path: Path) -> None:
    site = tmp_path / "site"
    site.mkdir()
    (site / MARKER).write_text("something else\nindex.html\n")
    with pytest.raises(OutputError):
        write_site(NEW, site)


@pytest.mark.parametrize(
    ("output", "said"),
    [
        ("content/site", "lies inside"),
        ("content", "lies inside"),
        ("project", "holds"),
        ("link", "is a link"),
        ("file.txt", "is a file"),
        (".", "the folder this command runs in"),
        ("..", "the folder this command runs in"),
    ],
)
def test_an_output_that_would_cost_something_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, output: str, said: str
) -> None:
    here = tmp_path / "home"
    for folder in ("content", "project/content", "target"):
        (here / folder).mkdir(parents=True)
    (here / "link").symlink_to(here / "target", target_is_directory=True)
    (here / "file.txt").write_text("text")
    monkeypatch.chdir(here)
    with pytest.raises(OutputError, match=said):
        refuse_unsafe(Path(output), Path("content"), Path("project/content"))


@pytest.mark.parametrize("path", ["../x", "/x", "a/../../x", "", "a\\b"])
def test_a_file_cannot_be_outside_the_site(path: str) -> None:
    with pytest.raises(ValueError, match="not a path inside"):
        OutputFile(path, b"")


def abandon(site: Path, kind: str) -> Path:
    """Leave what a killed build would leave: a folder of ours that nobody works on."""
    left = site.parent / f".{site.name}.{kind}-0123abcd"
    write_site(OLD, left)
    return left


def test_half_a_site_of_a_killed_build_is_cleared_away(tmp_path: Path) -> None:
    left = abandon(tmp_path / "site", "building")
    write_site(NEW, tmp_path / "site")
    assert not left.exists()


def test_the_old_site_comes_back_after_a_kill_between_two_renames(tmp_path: Path) -> None:
    abandon(tmp_path / "site", "previous")
    abandon(tmp_path / "site", "building")
    recover(tmp_path / "site")
    assert tree(tmp_path / "site") == content_of(OLD)
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_leftover_that_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    foreign = tmp_path / ".site.building-mine"
    foreign.mkdir()
    (foreign / "thesis.txt").write_text("ten years of work")
    write_site(NEW, tmp_path / "site")
    assert tree(foreign) == {"thesis.txt": b"ten years of work"}


@pytest.mark.skipif(os.name == "nt", reason="there are no such locks")
def test_a_build_that_is_still_at_work_is_left_alone(tmp_path: Path) -> None:
    site = tmp_path / "site"
    with building_beside(site) as building:
        (building.folder / "index.html").write_bytes(b"half")
        write_site(NEW, site)
        assert tree(building.folder) == {"index.html": b"half"}
    assert not building.folder.exists()
    assert tree(site) == content_of(NEW)


def test_the_same_files_give_the_same_folder(tmp_path: Path) -> None:
    write_site(NEW, tmp_path / "one")
    write_site(tuple(reversed(NEW)), tmp_path / "two")
    one, two = tmp_path / "one", tmp_path / "two"
    assert (one / MARKER).read_bytes() == (two / MARKER).read_bytes()
    assert tree(one) == tree(two)
