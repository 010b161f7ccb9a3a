"""The spare, which is the site before this one: whatever befalls it, the next site is right."""

import os
import random
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from stavewright.site.errors import OutputError
from stavewright.site.store import Store, digest
from stavewright.site.write import MARKER, LazyFile, folders, recover, write_site
from tests.site.test_write import tree

OLD = {"index.html": "home", "a/index.html": "a", "a/b/deep.txt": "deep", "c/index.html": "c"}
NOW = OLD | {"a/index.html": "A", "d/e/index.html": "e"}
NEXT = NOW | {"index.html": "HOME"}


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return tmp_path / "site"


def files_of(texts: dict[str, str]) -> Iterator[LazyFile]:
    return (LazyFile(path, digest(text), text.encode) for path, text in texts.items())


def put(site: Path, *sites: dict[str, str]) -> None:
    """Write sites, one after the other."""
    for texts in sites:
        with Store.open(site.parent / "kept.store") as store:
            write_site(files_of(texts), site, store)
        assert texts_in(site) == texts
        listing = (site / MARKER).read_text("utf-8").splitlines()[1:]
        assert listing == sorted(texts)


def texts_in(folder: Path) -> dict[str, str]:
    return {path: data.decode() for path, data in tree(folder).items()}


def folders_in(folder: Path) -> set[str]:
    return {it.relative_to(folder).as_posix() for it in folder.rglob("*") if it.is_dir()}


def spares(site: Path) -> list[Path]:
    return sorted(site.parent.glob(f".{site.name}.*"))


def spare_of(site: Path) -> Path:
    (spare,) = spares(site)
    assert ".previous-" in spare.name
    return spare


def test_the_spare_is_the_site_before(site: Path) -> None:
    put(site, OLD, NOW)
    assert texts_in(spare_of(site)) == OLD | {".gitignore": "*\n"}
    put(site, NEXT)
    assert texts_in(spare_of(site)) == NOW | {".gitignore": "*\n"}


def test_a_site_that_has_none_before_it_is_its_own_spare(site: Path) -> None:
    put(site, OLD)
    spare = spare_of(site)
    assert texts_in(spare) == OLD | {".gitignore": "*\n"}
    assert (spare / MARKER).read_bytes() == (site / MARKER).read_bytes()
    assert all((spare / path).samefile(site / path) for path in OLD)
    assert not (spare / MARKER).samefile(site / MARKER)


def test_a_spare_that_cannot_be_laid_is_done_without(
    site: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(_old: str, _new: str) -> None:
        raise OSError

    monkeypatch.setattr(os, "link", refuse)
    put(site, OLD)
    assert spares(site) == []


def test_two_folders_take_turns_and_only_changes_are_linked(
    site: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    linked: list[str] = []
    link = os.link

    def noting(old: str, new: str) -> None:
        linked.append(os.path.relpath(old, site))
        link(old, new)

    monkeypatch.setattr(os, "link", noting)
    put(site, OLD)
    first = site.stat().st_ino
    put(site, NOW)
    linked.clear()
    put(site, NEXT)
    assert site.stat().st_ino == first
    assert sorted(linked) == ["a/index.html", "d/e/index.html"]


def test_no_site_is_written_through_a_name_it_shares(site: Path) -> None:
    put(site, OLD, NOW)
    with (site / "c/index.html").open("rb") as held:
        put(site, NOW | {"c/index.html": "changed"})
        assert held.read() == b"c"
    assert (spare_of(site) / "c/index.html").read_bytes() == b"c"


def _delete(spare: Path) -> None:
    shutil.rmtree(spare)


def _take_one(spare: Path) -> None:
    (spare / "c/index.html").unlink()


def _replace_one(spare: Path) -> None:
    (spare / "c/index.html").unlink()
    (spare / "c/index.html").write_text("other")


def _empty(spare: Path) -> None:
    shutil.rmtree(spare / "a")


def _lose_marker(spare: Path) -> None:
    (spare / MARKER).unlink()


def _litter(spare: Path) -> None:
    (spare / "a" / ".DS_Store").write_bytes(b"\0")
    (spare / "bare" / "barer").mkdir(parents=True)


def _link_folder(spare: Path) -> None:
    elsewhere = spare.parent / "elsewhere"
    (spare / "c").rename(elsewhere)
    (spare / "c").mkdir()
    (spare / "c/index.html").symlink_to(elsewhere / "index.html")


def _unlist(spare: Path) -> None:
    marker = spare / MARKER
    lines = marker.read_text("utf-8").splitlines(keepends=True)
    marker.write_text("".join([lines[0], *reversed(lines[1:])]), "utf-8")


@pytest.mark.parametrize(
    "meddle",
    [_delete, _take_one, _replace_one, _empty, _litter, _link_folder, _unlist, _lose_marker],
    ids=lambda it: it.__name__.strip("_"),
)
def test_whatever_befalls_the_spare_is_no_harm(site: Path, meddle: Callable[[Path], None]) -> None:
    put(site, OLD, NOW)
    meddle(spare_of(site))
    put(site, NEXT, OLD, NEXT)
    assert folders_in(site) == {"a", "a/b", "c", "d", "d/e"}


def test_what_somebody_put_into_the_spare_is_named_and_stays(site: Path) -> None:
    put(site, OLD, NOW)
    foreign = spare_of(site) / "a" / "notes.txt"
    foreign.write_text("mine")
    with pytest.raises(OutputError, match=r"a/notes\.txt"):
        put(site, NEXT)
    assert foreign.read_text() == "mine"
    assert texts_in(site) == NOW
    foreign.rename(site.parent / "notes.txt")
    put(site, NEXT)


def test_a_name_of_the_site_that_somebody_else_took_in_the_spare_stays(site: Path) -> None:
    put(site, OLD, NOW)
    foreign = spare_of(site) / "d/e/index.html"
    foreign.parent.mkdir(parents=True)
    foreign.write_text("mine")
    with pytest.raises(OutputError, match=r"d/e/index\.html"):
        put(site, NEXT)
    assert foreign.read_text() == "mine"


def test_what_somebody_puts_into_the_site_during_a_build_stays(site: Path) -> None:
    put(site, OLD, NOW)

    def meddling() -> Iterator[LazyFile]:
        yield from files_of(NEXT)
        (site / "c" / "notes.txt").write_text("mine")

    with (
        Store.open(site.parent / "kept.store") as store,
        pytest.raises(OutputError, match=r"c/notes\.txt"),
    ):
        write_site(meddling(), site, store)
    assert texts_in(site) == NOW | {"c/notes.txt": "mine"}
    (site / "c" / "notes.txt").unlink()
    put(site, NEXT)


def test_the_spare_of_a_site_that_was_deleted_does_not_come_back(site: Path) -> None:
    put(site, OLD, NOW)
    shutil.rmtree(site)
    recover(site)
    assert not site.exists()
    put(site, NEXT)
    assert texts_in(spare_of(site)) == NEXT | {".gitignore": "*\n"}


def test_a_site_that_shares_nothing_with_the_next_is_no_spare(site: Path) -> None:
    put(site, OLD, NOW)
    put(site, {"index.html": "all new"})
    assert texts_in(spare_of(site)) == {"index.html": "all new", ".gitignore": "*\n"}


def test_a_superfluous_spare_goes_unless_it_holds_something_else(site: Path) -> None:
    put(site, OLD, NOW)
    spare = spare_of(site)
    for token in ("ffffffff", "fffffff1"):
        shutil.copytree(spare, named(site, token))
    (named(site, "ffffffff") / "notes.txt").write_text("mine")
    put(site, NEXT)
    assert len(spares(site)) == 2
    assert (named(site, "ffffffff") / "notes.txt").read_text() == "mine"


def named(site: Path, token: str) -> Path:
    return site.parent / f".{site.name}.previous-{token}"


def test_a_disk_without_locks_gets_no_spare(site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_marker: object) -> None:
        raise OSError

    monkeypatch.setattr(folders, "lock", refuse)
    put(site, OLD, NOW, NEXT)
    assert spares(site) == []


def test_a_disk_that_does_not_tell_capitals_gets_no_spare(
    site: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(site, OLD, NOW)
    monkeypatch.setattr(folders, "tells_capitals", lambda _folder: False)
    put(site, NEXT, OLD)
    assert spares(site) == []


PATHS = ["a", "a/b", "a/b/c", "a/d", "a-b", "a.b/c", "b/a", "b/c", "c", "index.html"]


def _any_site(dice: random.Random) -> dict[str, str]:
    """Some of the paths, none of which is a folder of another, with one text of three each."""
    texts: dict[str, str] = {}
    for path in dice.sample(PATHS, dice.randrange(1, len(PATHS))):
        if not any(
            f"{it}/".startswith(f"{path}/") or f"{path}/".startswith(f"{it}/") for it in texts
        ):
            texts[path] = dice.choice("xyz")
    return texts | {f"same/{number}": "same" for number in range(9)}


@pytest.mark.parametrize("seed", range(12))
def test_any_sites_after_each_other(site: Path, seed: int) -> None:
    dice = random.Random(seed)
    before: dict[str, str] = {}
    for _ in range(12):
        texts = _any_site(dice)
        put(site, texts)
        above = {path.rpartition("/")[0] for path in texts}
        assert folders_in(site) - above <= {"a"}
        if before != texts:
            kept = texts_in(spare_of(site))
            kept.pop(".gitignore")
            shared = before.items() & texts.items()
            assert kept == (before if 2 * len(shared) > len(texts) else texts)
        before = texts
        if dice.random() < 0.2:
            (site / dice.choice(list(texts))).unlink()
            put(site, texts)
