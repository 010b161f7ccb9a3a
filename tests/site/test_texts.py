"""A text is read once, and again whenever its file may hold another."""

import os
import time
from pathlib import Path

import pytest

from stavewright.site import texts
from stavewright.site.content import ContentFile, Source, list_content, read_listed
from stavewright.site.making.made import Order
from stavewright.site.store import Store
from stavewright.site.texts import Texts

_REST = 0.15
"""Seconds after which a file counts as left alone."""


@pytest.fixture
def page(tmp_path: Path) -> Path:
    page = tmp_path / "content/page.md"
    page.parent.mkdir()
    page.write_text("# One\n", "utf-8")
    time.sleep(_REST)
    return page


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The paths of the files that were read."""
    found: list[str] = []
    before = texts.read_listed

    def listed(file: ContentFile) -> object:
        found.append(file.path)
        return before(file)

    monkeypatch.setattr(texts, "read_listed", listed)
    return found


def look(folder: Path, store: Store) -> object:
    """The digest of the one text in a folder, as a build finds it out."""
    listing = list_content(folder)
    found = Texts(listing, store)
    (file,) = listing.articles
    text = found.of(file)
    assert found.of(file) == text
    found.note()
    return text


def test_a_file_that_was_left_alone_is_read_once(page: Path, read: list[str]) -> None:
    with Store.open(None) as store:
        first = look(page.parent, store)
        assert look(page.parent, store) == first
        assert read == ["page.md"]


def test_a_change_that_keeps_size_and_time_is_seen(page: Path) -> None:
    before = page.stat()
    with Store.open(None) as store:
        first = look(page.parent, store)
        page.write_text("# Two\n", "utf-8")
        os.utime(page, ns=(before.st_atime_ns, before.st_mtime_ns))
        assert page.stat().st_size == before.st_size
        assert look(page.parent, store) != first


def test_another_file_in_its_place_is_seen(page: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.md"
    other.write_text("# Two\n", "utf-8")
    time.sleep(_REST)
    with Store.open(None) as store:
        first = look(page.parent, store)
        os.replace(other, page)
        assert look(page.parent, store) != first


def test_a_file_that_was_just_written_is_not_trusted(page: Path, read: list[str]) -> None:
    with Store.open(None) as store:
        for _ in range(2):
            page.write_text("# One\n", "utf-8")
            look(page.parent, store)
            look(page.parent, store)
        assert len(read) == 4


def test_a_damaged_note_is_no_note(page: Path) -> None:
    with Store.open(None) as store:
        first = look(page.parent, store)
        (name,) = store.get_many("texts", [Texts(list_content(page.parent), store)._name])
        store.put("texts", name, b"half of a pair")
        assert look(page.parent, store) == first


def test_the_text_is_that_of_an_order(page: Path) -> None:
    with Store.open(None) as store:
        (file,) = list_content(page.parent).articles
        source = read_listed(file)
        assert isinstance(source, Source)
        assert look(page.parent, store) == Order(source.path, source.file, source.data).text
