"""Reading ahead of who asks: the same values as without, and none read that nobody wants."""

from collections.abc import Iterable, Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.site.making.read_ahead import ReadAhead
from stavewright.site.store import Codec, Store, digest

KEYS = [digest(str(number)) for number in range(40)]
CODEC: Codec[str] = Codec(str)
LOST = 25
"""Whose value the store does not have."""


class Watched(Store):
    """A store that notes what it is asked for."""

    def get_many(self, kind: str, keys: Iterable[bytes]) -> dict[bytes, bytes]:
        self.asked = [*getattr(self, "asked", []), *(listed := list(keys))]
        return super().get_many(kind, listed)


@pytest.fixture(scope="module")
def store() -> Iterator[Watched]:
    with Watched(None) as opened:
        for number, key in enumerate(KEYS):
            if number != LOST:
                opened.put("body", key, CODEC.encode(f"body {number}"))
        yield opened


def reading(store: Watched) -> ReadAhead[str]:
    store.asked = []
    ahead = ReadAhead(store, "body", CODEC)
    ahead.expect(KEYS)
    return ahead


def expected(number: int) -> str | None:
    return None if number == LOST else f"body {number}"


def test_in_order_each_is_read_once(store: Watched) -> None:
    ahead = reading(store)
    assert [ahead.get(key) for key in KEYS] == list(map(expected, range(len(KEYS))))
    assert sorted(store.asked) == sorted(KEYS)


def test_what_comes_next_is_read_before_it_is_asked_for(store: Watched) -> None:
    ahead = reading(store)
    for key in KEYS[10:15]:
        ahead.get(key)
    assert ahead.get(KEYS[15]) == "body 15"
    assert KEYS[17] in store.asked


@pytest.mark.parametrize("numbers", [[7], [7, 8], [0, 2, 4, 6, 8, 10], [9, 5, 3], [5, 5, 5, 5]])
def test_here_and_there_nothing_else_is_read(store: Watched, numbers: list[int]) -> None:
    ahead = reading(store)
    for number in numbers:
        assert ahead.get(KEYS[number]) == expected(number)
    assert store.asked == [KEYS[number] for number in numbers]


@given(st.lists(st.tuples(st.integers(0, 39), st.integers(1, 9)), max_size=8), st.booleans())
def test_whatever_is_asked_for_is_what_is_kept(runs: list[tuple[int, int]], told: bool) -> None:
    with Watched(None) as store:
        store.put_many("body", {key: CODEC.encode(key.hex()) for key in KEYS})
        ahead = ReadAhead(store, "body", CODEC)
        if told:
            ahead.expect(KEYS)
        for start, length in runs:
            for key in KEYS[start : start + length]:
                assert ahead.get(key) == key.hex()
        assert ahead.get(digest("nowhere")) is None
