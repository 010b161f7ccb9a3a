"""What machines read: the Atom feed (RFC 4287) and the map of the site (sitemaps.org, 0.9).

Nothing here looks at a clock: a feed is as new as its newest entry, so that the same content gives
the same bytes.
"""

import re
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from xml.etree import ElementTree as ET

from stavewright.site.addresses import FEED, whole_address
from stavewright.site.settings import Settings

_ATOM = "http://www.w3.org/2005/Atom"
_SITEMAP = "http://www.sitemaps.org/schemas/sitemap/0.9"
_NOT_XML = re.compile(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that no XML 1.0 text may hold, not even escaped (section 2.2, Char)."""
_NO_ARTICLE_YET = date(1970, 1, 1)
"""RFC 4287 asks every feed for a date, an empty one too."""


@dataclass(frozen=True, slots=True)
class Entry:
    """An article as feeds see it."""

    title: str
    address: str
    """Below the site's root."""
    summary: str
    published: date
    updated: date


def atom_feed(settings: Settings, entries: Sequence[Entry], version: str) -> bytes:
    """The feed, newest entry first.

    Without an address in the settings, links are relative to the feed and ids are names made from
    the site's name and the entry's address; both are valid, and both change when an address is set.
    """
    newest = max((entry.updated for entry in entries), default=_NO_ARTICLE_YET)
    feed = ET.Element("feed", {"xmlns": _ATOM, "xml:lang": settings.language})
    _text(feed, "title", settings.name)
    if settings.about:
        _text(feed, "subtitle", settings.about)
    _text(feed, "id", settings.address or _name_id(settings, ""))
    _text(feed, "updated", _moment(newest))
    author = ET.SubElement(feed, "author")
    _text(author, "name", settings.author or settings.name)
    if settings.address:
        ET.SubElement(feed, "link", rel="self", href=whole_address(settings.address, FEED))
    ET.SubElement(feed, "link", rel="alternate", type="text/html", href=_link(settings, ""))
    if settings.rights:
        _text(feed, "rights", settings.rights)
    _text(feed, "generator", "Stavewright").set("version", version)
    for entry in sorted(entries, key=lambda entry: (entry.published, entry.address), reverse=True):
        _entry(feed, settings, entry)
    return _document(feed)


def sitemap(settings: Settings, pages: Sequence[tuple[str, date | None]]) -> bytes | None:
    """The map of the site: address and day of the last change of each page.

    None without an address in the settings, since a map holds whole addresses only.
    """
    if settings.address is None:
        return None
    root = ET.Element("urlset", {"xmlns": _SITEMAP})
    for address, changed in sorted(pages):
        page = ET.SubElement(root, "url")
        _text(page, "loc", whole_address(settings.address, address))
        if changed is not None:
            _text(page, "lastmod", changed.isoformat())
    return _document(root)


def _entry(feed: ET.Element, settings: Settings, entry: Entry) -> None:
    element = ET.SubElement(feed, "entry")
    _text(element, "title", entry.title)
    _text(element, "id", _entry_id(settings, entry))
    _text(element, "published", _moment(entry.published))
    _text(element, "updated", _moment(entry.updated))
    href = _link(settings, entry.address)
    ET.SubElement(element, "link", rel="alternate", type="text/html", href=href)
    if entry.summary:
        _text(element, "summary", entry.summary)


def _entry_id(settings: Settings, entry: Entry) -> str:
    """The whole address: the one thing about an article that is promised never to change."""
    if settings.address is None:
        return _name_id(settings, entry.address)
    return whole_address(settings.address, entry.address)


def _name_id(settings: Settings, address: str) -> str:
    return uuid.uuid5(uuid.NAMESPACE_URL, f"{settings.name}\n{address}").urn


def _link(settings: Settings, address: str) -> str:
    return whole_address(settings.address or ".", address)


def _moment(day: date) -> str:
    return f"{day.isoformat()}T00:00:00Z"


def _text(parent: ET.Element, name: str, text: str) -> ET.Element:
    element = ET.SubElement(parent, name)
    element.text = _NOT_XML.sub("", text)
    return element


def _document(root: ET.Element) -> bytes:
    ET.indent(root)
    body: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return body + b"\n"
