"""A site written over itself: what is the same is neither made nor touched, what is not is new."""

import errno
import os
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from stavewright.site.errors import OutputError
from stavewright.site.store import Store, digest
from stavewright.site.write import MARKER, LazyFile, OutputFile, WriteReport, write_site
from stavewright.site.write.marker import held
from tests.site.test_write import tree

TEXTS = {"index.html": "home", "a/index.html": "a", "a/b/deep.txt": "deep", "c/index.html": "c"}


class Making:
    """Lazy files, and which of them were asked for."""

    def __init__(self) -> None:
        self.asked: list[str] = []

    def files(self, texts: dict[str, str]) -> list[LazyFile]:
        return [
            LazyFile(path, digest(text), self._make(path, text)) for path, text in texts.items()
        ]

    def _make(self, path: str, text: str) -> Callable[[], bytes]:
        def make() -> bytes:
            self.asked.append(path)
            return text.encode()

        return make


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return tmp_path / "site"


def put(site: Path, texts: dict[str, str]) -> tuple[WriteReport, list[str]]:
    """Write a site as a new process would; what came of it, and what was made."""
    making = Making()
    with Store.open(site.parent / "kept.store") as store:
        report = write_site(making.files(texts), site, store)
    assert tree(site) == {path: text.encode() for path, text in texts.items()}
    listing = (site / MARKER).read_text("utf-8").splitlines()[1:]
    assert listing == sorted(texts)
    # A build that failed takes its spare with it.
    spares = [path.name for path in site.parent.glob(".site*")]
    assert len(spares) <= 1
    assert all(name.startswith(".site.previous-") for name in spares)
    return report, sorted(making.asked)


def everything(site: Path) -> dict[str, tuple[int, int]]:
    return {
        path.relative_to(site).as_posix(): (path.stat().st_ino, path.stat().st_mtime_ns)
        for path in [site, *site.rglob("*")]
    }


def test_nothing_changed_touches_nothing(site: Path) -> None:
    assert put(site, TEXTS) == (WriteReport(4, 0, 0), sorted(TEXTS))
    before = everything(site)
    assert put(site, TEXTS) == (WriteReport(0, 4, 0), [])
    assert everything(site) == before


@pytest.mark.parametrize(
    ("texts", "report", "made"),
    [
        (TEXTS | {"a/index.html": "A"}, WriteReport(1, 3, 0), ["a/index.html"]),
        (TEXTS | {"0/new.html": "new"}, WriteReport(1, 4, 0), ["0/new.html"]),
        ({"index.html": "home"}, WriteReport(0, 1, 3), []),
        ({"a": "no folder now"}, WriteReport(1, 0, 4), ["a"]),
        (TEXTS | {"a/index.html": "c", "c/index.html": "a"}, WriteReport(2, 2, 0), None),
        ({}, WriteReport(0, 0, 4), []),
    ],
    ids=["changed", "added", "removed", "a file for a folder", "exchanged", "emptied"],
)
def test_only_what_changed_is_made(
    site: Path, texts: dict[str, str], report: WriteReport, made: list[str] | None
) -> None:
    put(site, TEXTS)
    kept = site / "index.html"
    inode = kept.stat().st_ino
    assert put(site, texts) == (report, ["a/index.html", "c/index.html"] if made is None else made)
    assert "index.html" not in texts or kept.stat().st_ino == inode
    assert put(site, TEXTS)[0].changed
    assert put(site, TEXTS) == (WriteReport(0, 4, 0), [])


def rewritten(file: Path) -> None:
    file.write_text("HOME")


def replaced(file: Path) -> None:
    file.with_name("new").write_text("HOME")
    file.with_name("new").rename(file)


def deleted(file: Path) -> None:
    file.unlink()


def from_the_future(file: Path) -> None:
    os.utime(file, ns=(2**62, 2**62))


def from_the_past(file: Path) -> None:
    os.utime(file, ns=(1, 1))


def linked(file: Path) -> None:
    file.rename(file.parent.parent / "elsewhere.html")
    file.symlink_to(file.parent.parent / "elsewhere.html")


@pytest.mark.parametrize(
    "touch",
    [rewritten, replaced, deleted, from_the_future, from_the_past, linked],
    ids=lambda touch: touch.__name__,
)
def test_what_somebody_touched_is_written_again(site: Path, touch: Callable[[Path], None]) -> None:
    put(site, TEXTS)
    touch(site / "index.html")
    assert put(site, TEXTS) == (WriteReport(1, 3, 0), ["index.html"])
    assert not (site / "index.html").is_symlink()


@pytest.mark.parametrize("lost", ["kept.store", f"site/{MARKER}"])
def test_without_a_record_everything_is_written(site: Path, lost: str) -> None:
    put(site, TEXTS)
    (site.parent / lost).unlink()
    if lost.endswith(MARKER):
        with pytest.raises(OutputError, match="did not make it"):
            put(site, TEXTS)
    else:
        assert put(site, TEXTS) == (WriteReport(4, 0, 0), sorted(TEXTS))


def test_a_record_of_another_site_in_this_place_is_void(site: Path) -> None:
    put(site, TEXTS)
    # As by a process that was killed after the swap and before it could record it.
    write_site(Making().files(TEXTS | {"index.html": "HOME", "x": "x"}), site)
    assert put(site, TEXTS)[1] == sorted(TEXTS)


def test_a_disk_without_links_gets_copies(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_old: str, _new: str) -> None:
        raise OSError(errno.EPERM, "Operation not permitted")

    put(site, TEXTS)
    monkeypatch.setattr(os, "link", refuse)
    assert put(site, TEXTS | {"c/index.html": "C"}) == (WriteReport(1, 3, 0), ["c/index.html"])
    assert put(site, TEXTS | {"c/index.html": "C"}) == (WriteReport(0, 4, 0), [])


def test_a_copy_follows_its_file(site: Path) -> None:
    picture = site.parent / "bell.png"

    def copy(data: bytes) -> WriteReport:
        picture.write_bytes(data)
        with Store.open(site.parent / "kept.store") as store:
            report = write_site([OutputFile("bell.png", picture)], site, store)
        assert (site / "bell.png").read_bytes() == data
        return report

    assert copy(b"one").written == 1
    before = picture.stat()
    assert copy(b"two").written == 1
    # Neither a clock that goes back nor a program that hides its traces makes it stale.
    os.utime(picture, ns=(before.st_atime_ns, before.st_mtime_ns))
    picture.write_bytes(b"six")
    os.utime(picture, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert copy(b"six").written == 1


def test_a_fault_while_making_leaves_the_old_site(site: Path) -> None:
    def fail() -> bytes:
        raise ZeroDivisionError

    put(site, TEXTS)
    before = everything(site)
    with (
        Store.open(site.parent / "kept.store") as store,
        pytest.raises(ZeroDivisionError),
    ):
        write_site([*Making().files(TEXTS), LazyFile("bad", digest("bad"), fail)], site, store)
    assert everything(site) == before
    assert put(site, TEXTS) == (WriteReport(0, 4, 0), [])


@pytest.mark.skipif(os.name == "nt", reason="there are no such locks")
def test_a_second_build_waits_for_the_first(site: Path) -> None:
    put(site, TEXTS)
    second = threading.Thread(target=put, args=(site, TEXTS | {"a/index.html": "A"}))
    with held(site):
        second.start()
        time.sleep(0.2)
        assert second.is_alive()
        assert (site / "a/index.html").read_bytes() == b"a"
    second.join(10)
    assert (site / "a/index.html").read_bytes() == b"A"
