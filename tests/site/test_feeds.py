"""The feed and the map of the site, against their standards."""

from datetime import date
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.site.feeds import Entry, atom_feed, sitemap
from stavewright.site.settings import Settings
from tests.site.atom import ATOM, SITEMAP, faults_of_feed, faults_of_sitemap

HERE = Settings(name="Bell Street", address="https://band.example/music/", about="Answers.")
NOWHERE = Settings(name="Bell Street")
OLDER = Entry("Older", "answers/older/", "First.", date(2024, 1, 2), date(2024, 5, 6))
NEWER = Entry("Newer <b>&</b>", "answers/newer/", "", date(2024, 3, 4), date(2024, 3, 4))


@pytest.mark.parametrize("settings", [HERE, NOWHERE], ids=["with an address", "without"])
@pytest.mark.parametrize("entries", [[], [OLDER], [OLDER, NEWER]], ids=["none", "one", "two"])
def test_the_feed_is_valid(settings: Settings, entries: list[Entry]) -> None:
    assert list(faults_of_feed(atom_feed(settings, entries, "1.0"))) == []


def test_the_newest_entry_comes_first_and_the_feed_is_as_new_as_the_latest_change() -> None:
    feed = ET.fromstring(atom_feed(HERE, [OLDER, NEWER], "1.0"))
    titles = [entry.findtext(f"{ATOM}title") for entry in feed.findall(f"{ATOM}entry")]
    assert titles == ["Newer <b>&</b>", "Older"]
    assert feed.findtext(f"{ATOM}updated") == "2024-05-06T00:00:00Z"


def test_ids_stay_put_when_title_summary_and_dates_change() -> None:
    later = Entry("Other words", OLDER.address, "Second.", date(2025, 1, 1), date(2025, 1, 1))
    for settings in (HERE, NOWHERE):
        assert _ids(settings, OLDER) == _ids(settings, later)
        assert _ids(settings, OLDER) != _ids(settings, NEWER)


@given(st.text(), st.text())
def test_any_title_gives_a_feed_that_can_be_read(title: str, summary: str) -> None:
    entry = Entry(f"T{title}", "a/", summary, date(2024, 1, 1), date(2024, 1, 1))
    assert list(faults_of_feed(atom_feed(HERE, [entry], "1.0"))) == []


def test_the_map_is_valid_and_holds_whole_addresses() -> None:
    document = sitemap(HERE, [("answers/a b/", date(2024, 1, 2)), ("", None)])
    assert document is not None
    assert list(faults_of_sitemap(document, "https://band.example/music/")) == []
    places = [place.text for place in ET.fromstring(document).iter(f"{SITEMAP}loc")]
    assert places == ["https://band.example/music/", "https://band.example/music/answers/a%20b/"]


def test_without_an_address_there_is_no_map() -> None:
    assert sitemap(NOWHERE, [("", None)]) is None


def _ids(settings: Settings, entry: Entry) -> list[str | None]:
    feed = ET.fromstring(atom_feed(settings, [entry], "1.0"))
    return [entry.findtext(f"{ATOM}id") for entry in feed.findall(f"{ATOM}entry")]
