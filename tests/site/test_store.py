"""The store: what it gives is what was put, or nothing."""

import multiprocessing
import threading
from dataclasses import dataclass
from datetime import date
from enum import Enum
from fractions import Fraction
from pathlib import Path, PurePosixPath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span
from stavewright.site.store import ENVIRONMENT, Codec, StaleError, Store, digest, store, store_file
from stavewright.site.store.seal import name_of, seal, unseal


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "deep" / "kept.store"


def key(number: int) -> bytes:
    return digest("key", str(number))


def test_a_value_is_there_at_once_and_in_the_next_process(path: Path) -> None:
    with Store.open(path) as first:
        first.put("page", key(1), b"one")
        assert first.get("page", key(1)) == b"one"
        assert first.get("figure", key(1)) is None
    with Store.open(path) as second:
        assert second.get("page", key(1)) == b"one"
        assert second.get_many("page", [key(1), key(2)]) == {key(1): b"one"}
    assert second.notices == ()


def test_many_values_large_and_small_come_back(path: Path) -> None:
    values = {key(n): bytes([n % 251]) * (n * 37) for n in range(1200)} | {key(-1): b""}
    with Store.open(path) as first:
        first.put_many("page", values)
        assert first.get_many("page", values) == values
    with Store.open(path) as second:
        assert second.get_many("page", values) == values


def test_a_value_can_be_replaced(path: Path) -> None:
    for value in (b"old", b"new"):
        with Store.open(path) as opened:
            opened.put("page", key(1), value)
    with Store.open(path) as opened:
        assert opened.get("page", key(1)) == b"new"


def test_a_store_in_memory_keeps_nothing_for_later() -> None:
    with Store.open(None) as first:
        first.put("page", key(1), b"one")
        first.flush()
        assert first.get("page", key(1)) == b"one"
    with Store.open(None) as second:
        assert second.get("page", key(1)) is None


def test_after_closing_it_gives_and_takes_nothing(path: Path) -> None:
    with Store.open(path) as opened:
        opened.put("page", key(1), b"one")
    opened.put("page", key(2), b"two")
    opened.close()
    assert opened.get_many("page", [key(1), key(2)]) == {}


def test_only_its_owner_can_read_it(path: Path) -> None:
    with Store.open(path) as opened:
        opened.put("page", key(1), b"one")
        opened.flush()
        modes = {file.stat().st_mode & 0o777 for file in path.parent.iterdir()}
    assert modes == {0o600}
    assert path.parent.stat().st_mode & 0o777 == 0o700


def test_what_nobody_used_for_many_runs_goes(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "_KEPT_RUNS", 12)
    monkeypatch.setattr(store, "_NOTED_RUNS", 4)
    every = {key(1): b"used", key(2): b"unused", key(3): b"touched"}
    with Store.open(path) as opened:
        opened.put_many("page", every)
    for run in range(24):
        with Store.open(path) as opened:
            assert opened.get("page", key(1)) == b"used"
            opened.touch("page", [key(3)])
            opened.put("page", key(4), str(run).encode())
    with Store.open(path) as opened:
        assert opened.get_many("page", every) == {key(1): b"used", key(3): b"touched"}


def test_beyond_its_size_the_longest_unused_goes(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store, "_MOST", 40_000)
    for run in range(8):
        with Store.open(path) as opened:
            opened.put("page", key(run), b"".join(digest(str(run), str(n)) for n in range(640)))
    with Store.open(path) as opened:
        left = [run for run in range(8) if opened.get("page", key(run)) is not None]
    assert left == list(range(8 - len(left), 8))
    assert 2 <= len(left) <= 3


def test_threads_may_share_a_store(path: Path) -> None:
    def work(number: int) -> None:
        for step in range(200):
            own = key(number * 1000 + step)
            opened.put("page", own, own * 500)
            assert opened.get("page", own) == own * 500

    with Store.open(path) as opened:
        threads = [threading.Thread(target=work, args=(number,)) for number in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        every = [key(number * 1000 + step) for number in range(4) for step in range(200)]
        assert len(opened.get_many("page", every)) == 800


def _fill(path: Path, first: int) -> tuple[str, ...]:
    with Store.open(path) as opened:
        for number in range(first, first + 150):
            opened.put("page", key(number), bytes([number % 256]) * 10_000)
            opened.flush()
    return opened.notices


def test_processes_may_share_a_file(path: Path) -> None:
    with multiprocessing.get_context("spawn").Pool(3) as pool:
        notices = pool.starmap(_fill, [(path, 0), (path, 100), (path, 200)])
    assert notices == [()] * 3
    with Store.open(path) as opened:
        assert len(opened.get_many("page", map(key, range(350)))) == 350


def test_a_value_is_packed_only_where_that_helps() -> None:
    name = name_of("page", key(1))
    assert len(seal(name, b"a" * 10_000)) < 200
    noise = b"".join(digest(str(n)) for n in range(600))
    assert len(seal(name, noise)) == len(noise) + 17


@given(st.binary(max_size=300), st.data())
def test_no_damage_to_a_kept_value_gives_another_value(value: bytes, data: st.DataObject) -> None:
    name = name_of("page", key(1))
    kept = seal(name, value)
    assert unseal(name, kept) == value
    assert unseal(name_of("page", key(2)), kept) is None
    assert unseal(name_of("figure", key(1)), kept) is None
    place = data.draw(st.integers(0, len(kept) - 1))
    flipped = kept[place] ^ data.draw(st.integers(1, 255))
    assert unseal(name, kept[:place] + bytes([flipped]) + kept[place + 1 :]) is None
    assert unseal(name, kept[:place]) is None


parts = st.lists(st.one_of(st.text(max_size=4), st.binary(max_size=4)), max_size=4)


@given(parts, parts)
def test_digests_are_equal_only_where_the_parts_are(
    one: list[str | bytes], other: list[str | bytes]
) -> None:
    assert (digest(*one) == digest(*other)) == (one == other)
    assert len(digest(*one)) == 16


class Colour(Enum):
    RED = "red"


@dataclass(frozen=True, slots=True)
class Facts:
    name: str
    day: date | None
    colour: Colour
    length: Fraction
    place: PurePosixPath
    findings: tuple[Finding, ...]
    files: dict[str, bytes]


FINDING = Finding("key-spelling", Severity.WARNING, Span("a.md", 1, 2, 3), "Said", "A", None)
FACTS = Facts(
    "𝄞 ♭", date(2024, 2, 29), Colour.RED, Fraction(7, 12), PurePosixPath("a/b"),
    (FINDING,) * 2, {"a": b"\x00\xff"},
)  # fmt: skip


def test_frozen_values_come_back_as_they_were() -> None:
    codec = Codec(Facts)
    assert codec.decode(codec.encode(FACTS)) == FACTS


@pytest.mark.parametrize("cut", [0, 1, 20, -1])
def test_what_is_no_such_value_is_stale(cut: int) -> None:
    data = Codec(Facts).encode(FACTS)
    with pytest.raises(StaleError):
        Codec(Facts).decode(data[:cut])
    with pytest.raises(StaleError):
        Codec(Finding).decode(data)


@pytest.mark.parametrize(
    ("choice", "environment", "folder"),
    [
        (None, None, "cache/stavewright"),
        (None, "elsewhere", "elsewhere"),
        ("here", "elsewhere", "here"),
        ("none", "elsewhere", None),
        (None, "NONE", None),
    ],
)
def test_where_a_store_lies(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    choice: str | None,
    environment: str | None,
    folder: str | None,
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.delenv(ENVIRONMENT)
    if environment is not None:
        monkeypatch.setenv(ENVIRONMENT, environment)
    file = store_file(Path("content"), choice)
    assert (file and file.parent) == (folder and tmp_path / folder)
    assert file == store_file(tmp_path / "content", choice)
    assert file is None or file != store_file(Path("other"), choice)
