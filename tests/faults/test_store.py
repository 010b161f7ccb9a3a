"""The store under every fault: the right value or none, one plain sentence, and never an error."""

import os
import random
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from io import StringIO
from pathlib import Path

import pytest

from stavewright.site.store import Store, database, digest
from tests.cases import Case, cases

DATA = Path(__file__).parent / "data"
NOISE = random.Random(1)
VALUES = {digest(str(n)): NOISE.randbytes(NOISE.choice((10, 900, 30_000))) for n in range(150)}


def fill(path: Path) -> None:
    with Store.open(path) as opened:
        opened.put_many("page", VALUES)


def right(opened: Store) -> int:
    """How many values there are; each of them is the one that was put."""
    found = opened.get_many("page", VALUES)
    assert all(VALUES[key] == value for key, value in found.items())
    return len(found)


def few(data: bytearray, dice: random.Random) -> None:
    for _ in range(dice.randint(1, 8)):
        data[dice.randrange(len(data))] = dice.randrange(256)


def many(data: bytearray, dice: random.Random) -> None:
    for _ in range(2000):
        data[dice.randrange(len(data))] = dice.randrange(256)


def head(data: bytearray, dice: random.Random) -> None:
    for _ in range(4):
        data[dice.randrange(400)] = dice.randrange(256)


def cut(data: bytearray, dice: random.Random) -> None:
    del data[dice.randrange(len(data)) :]


def blank(data: bytearray, dice: random.Random) -> None:
    start = dice.randrange(len(data))
    end = min(len(data), start + dice.randrange(1, 40_000))
    data[start:end] = bytes(end - start)


def longer(data: bytearray, dice: random.Random) -> None:
    data += dice.randbytes(20_000)


DAMAGES = (few, many, head, cut, blank, longer)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("whole") / "kept.store"
    fill(path)
    return path.read_bytes()


@pytest.mark.parametrize("damage", DAMAGES, ids=lambda damage: damage.__name__)
@pytest.mark.parametrize("seed", range(12))
def test_a_damaged_store_gives_no_wrong_value_and_mends(
    tmp_path: Path, whole: bytes, damage: Callable[[bytearray, random.Random], None], seed: int
) -> None:
    dice = random.Random(seed)
    data = bytearray(whole)
    damage(data, dice)
    path = tmp_path / "kept.store"
    path.touch(0o600)
    path.write_bytes(data)
    if seed % 3 == 0:
        path.with_name("kept.store-wal").write_bytes(dice.randbytes(5000))
    with Store.open(path) as opened:
        right(opened)
        opened.put_many("page", VALUES)
        opened.flush()
        right(opened)
    with Store.open(path) as again:
        assert right(again) == len(VALUES)
    assert opened.notices == again.notices == ()


def test_a_full_disk_keeps_what_fits(small_disk: Path) -> None:
    path = small_disk / "stores" / "kept.store"
    with Store.open(path) as opened:
        for key, value in VALUES.items():
            opened.put("page", key, value)
            opened.flush()
        kept = right(opened)
    assert 0 < kept < len(VALUES)
    assert "the disk is full" in " ".join(opened.notices)
    with Store.open(path) as again:
        assert right(again) == kept
    assert again.notices == ()


def test_a_disk_that_was_full_before_is_no_harm(small_disk: Path) -> None:
    path = small_disk / "kept.store"
    with pytest.raises(OSError, match="No space left"):
        (small_disk / "filling").write_bytes(bytes(3 << 20))
    with Store.open(path) as opened:
        opened.put_many("page", VALUES)
        assert right(opened) == 0
    assert "the disk is full" in " ".join(opened.notices)
    (small_disk / "filling").unlink()
    with Store.open(path) as again:
        again.put("page", b"key", b"value")
        assert again.get("page", b"key") == b"value"
    assert again.notices == ()


@pytest.mark.parametrize("what", ["file", "folder"])
def test_a_store_that_is_deleted_while_in_use_is_no_harm(tmp_path: Path, what: str) -> None:
    path = tmp_path / "stores" / "kept.store"
    fill(path)
    with Store.open(path) as opened:
        right(opened)
        if what == "folder":
            shutil.rmtree(path.parent)
        else:
            for file in path.parent.iterdir():
                file.unlink()
        right(opened)
        opened.put_many("page", VALUES)
        opened.flush()
        right(opened)
    assert opened.notices == ()
    fill(path)
    with Store.open(path) as again:
        assert right(again) == len(VALUES)


def folder_in_its_place(path: Path) -> None:
    path.mkdir(parents=True)


def file_for_a_folder(path: Path) -> None:
    path.parent.write_text("mine")


def link_elsewhere(path: Path) -> None:
    path.parent.mkdir()
    path.symlink_to(path.parent / "thesis.txt")
    path.resolve().write_text("mine")


def writable_by_all(path: Path) -> None:
    fill(path)
    path.chmod(0o666)


def of_somebody_else(path: Path) -> None:
    fill(path)
    if os.geteuid():
        pytest.skip("only root can give a file away")
    os.chown(path, 12345, 12345)


def held_by_another(path: Path) -> sqlite3.Connection:
    fill(path)
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("BEGIN EXCLUSIVE")
    return holder


REFUSALS = {
    make.__name__: make
    for make in (
        folder_in_its_place,
        file_for_a_folder,
        link_elsewhere,
        writable_by_all,
        of_somebody_else,
        held_by_another,
    )
}


@pytest.mark.parametrize("case", cases(DATA / "refused_stores.tsv"))
def test_a_store_that_cannot_be_used_says_why_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, case: Case
) -> None:
    monkeypatch.setattr(database, "_WAIT", 0.05)
    path = tmp_path / "stores" / "kept.store"
    with closing(REFUSALS[case["fault"]](path) or StringIO()), Store.open(path) as opened:
        opened.put_many("page", VALUES)
        assert right(opened) == 0
    (notice,) = opened.notices
    assert case["said"] in notice
    assert "The site is not affected" in notice
    if case["fault"] == "link_elsewhere":
        assert path.resolve().read_text() == "mine"


@pytest.mark.usefixtures("unprivileged")
def test_a_folder_that_may_not_be_written_is_no_harm(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with Store.open(tmp_path / "kept.store") as opened:
        opened.put_many("page", VALUES)
    tmp_path.chmod(0o700)
    assert "Permission denied" in " ".join(opened.notices)
