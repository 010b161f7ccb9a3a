"""Where pages live, how they link, and what happens when two want one address."""

from pathlib import Path
from posixpath import normpath
from urllib.parse import unquote, urljoin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.notation.source import Span
from stavewright.site.addresses import (
    Place,
    address_fault,
    collisions,
    output_path,
    page_address,
    relative_href,
    unusable,
    whole_address,
)
from tests.cases import Case, cases

DATA = Path(__file__).parent / "data"


@pytest.mark.parametrize("case", cases(DATA / "page_addresses.tsv"))
def test_page_address(case: Case) -> None:
    assert page_address(case["path"], case["custom"] or None) == case["address"]


@pytest.mark.parametrize("case", cases(DATA / "hrefs.tsv"))
def test_relative_href(case: Case) -> None:
    assert relative_href(case["origin"], case["target"], case["anchor"]) == case["href"]


segments = st.text(st.characters(categories=["L", "N"], include_characters=" ~-:@+"), min_size=1)
addresses = st.one_of(
    st.just(""),
    st.lists(segments, min_size=1, max_size=4).map(lambda parts: "/".join(parts) + "/"),
    st.lists(segments, min_size=1, max_size=4).map(lambda parts: "/".join(parts) + ".html"),
)


@given(addresses, addresses)
def test_a_browser_follows_every_href_to_its_target(origin: str, target: str) -> None:
    # RFC 3986, section 5.2, as the standard library resolves references.
    base = whole_address("https://example.org/deep/folder/", origin)
    followed = urljoin(base, relative_href(origin, target))
    assert followed == whole_address("https://example.org/deep/folder/", target)


@given(st.text())
def test_no_custom_address_leads_out_of_the_site(text: str) -> None:
    if address_fault(text) is not None:
        return
    path = output_path(page_address("page.md", text))
    assert not path.startswith("/")
    assert normpath(unquote(path)) == unquote(path)
    assert ".." not in path.split("/")


@pytest.mark.parametrize("case", cases(DATA / "bad_addresses.tsv"))
def test_an_unusable_address_is_a_finding(case: Case) -> None:
    finding = unusable(_place("answers/a.md", ""), case["address"])
    assert finding is not None
    assert finding.rule == "address"
    assert case["said"] in finding.message
    assert finding.suggestion == "answers/a/"


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("a.md a/", "b.md a/"),
        ("a.md Keys/", "b.md keys/"),
        ("a.md keys/x.html", "b.md keys/x.html/y/"),
        ("a.md keys/x.html/y/", "b.md keys/x.html"),
        ("- feed.xml", "b.md feed.xml"),
        ("- 404.html", "b.md 404.html"),
    ],
    ids=["equal", "by capitals", "under a file", "over a folder", "the feed", "the 404 page"],
)
def test_the_second_page_at_an_address_is_a_finding(first: str, second: str) -> None:
    places = [_place(*pair.split()) for pair in (first, second) if not pair.startswith("-")]
    (finding,) = collisions(places)
    assert finding.rule == "address"
    assert finding.span.file == "b.md"
    assert f"`{second.split()[1]}`" in finding.message


def test_pages_at_different_addresses_are_fine() -> None:
    assert collisions([_place("a.md", "a/"), _place("b.md", "a/b/"), _place("c.md", "")]) == []


def _place(path: str, address: str) -> Place:
    return Place(path, address, Span(path, 1, 1, 1))
