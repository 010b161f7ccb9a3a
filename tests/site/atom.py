"""What RFC 4287 asks of a feed, and sitemaps.org 0.9 of a map; each rule with its section."""

import re
from collections.abc import Iterator
from xml.etree import ElementTree as ET

ATOM = "{http://www.w3.org/2005/Atom}"
SITEMAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
# RFC 3339, section 5.6, in the form RFC 4287 section 3.3 takes: capital T and Z.
MOMENT = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d+)?(Z|[+-]\d{2}:\d{2})")
# RFC 4287, section 4.2.6: an id is an absolute IRI.
ABSOLUTE = re.compile(r"[a-z][a-z0-9+.-]*:\S+", re.IGNORECASE)


def faults_of_feed(document: bytes) -> Iterator[str]:
    """Each breach of the rules, in words."""
    feed = ET.fromstring(document)
    if feed.tag != f"{ATOM}feed":
        yield "4.1.1: the document element is not atom:feed"
    yield from _common(feed, "feed")
    entries = feed.findall(f"{ATOM}entry")
    # 4.1.1: a feed has an author unless every entry has one.
    if feed.find(f"{ATOM}author/{ATOM}name") is None and any(
        entry.find(f"{ATOM}author") is None for entry in entries
    ):
        yield "4.1.1: neither the feed nor every entry has an author"
    ids = [entry.findtext(f"{ATOM}id") for entry in entries]
    if len(set(ids)) < len(ids):
        yield "4.2.6: two entries have one id"
    for entry in entries:
        yield from _common(entry, "entry")
        # 4.1.2: an entry without content has an alternate link.
        if not any(link.get("rel") == "alternate" for link in entry.findall(f"{ATOM}link")):
            yield "4.1.2: an entry has neither content nor an alternate link"
        yield from _moment(entry.findtext(f"{ATOM}published"), "4.2.9: published")


def _common(element: ET.Element, name: str) -> Iterator[str]:
    for required in ("id", "title", "updated"):
        found = element.findall(f"{ATOM}{required}")
        if len(found) != 1 or not (found[0].text or "").strip():
            yield f"4.1: {name} needs exactly one {required}"
    if not ABSOLUTE.fullmatch(element.findtext(f"{ATOM}id") or ""):
        yield f"4.2.6: the id of {name} is no absolute IRI"
    yield from _moment(element.findtext(f"{ATOM}updated"), f"3.3: updated of {name}")
    for link in element.findall(f"{ATOM}link"):
        if not link.get("href"):
            yield f"4.2.7.1: a link of {name} has no href"


def _moment(text: str | None, where: str) -> Iterator[str]:
    if text is not None and not MOMENT.fullmatch(text):
        yield f"{where}: {text!r} is no date"


def faults_of_sitemap(document: bytes, site: str) -> Iterator[str]:
    """Each breach of the sitemaps.org protocol 0.9, "XML tag definitions" and "location"."""
    root = ET.fromstring(document)
    if root.tag != f"{SITEMAP}urlset":
        yield "the document element is not urlset"
    for url in root:
        place = url.findtext(f"{SITEMAP}loc") or ""
        if not place.startswith(site) or len(place) >= 2048:
            yield f"{place!r} is not below {site}"
        day = url.findtext(f"{SITEMAP}lastmod")
        if day is not None and not re.fullmatch(r"\d{4}-\d{2}-\d{2}", day):
            yield f"{day!r} is no W3C date"
