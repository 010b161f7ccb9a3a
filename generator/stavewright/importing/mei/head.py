"""Title, authors and rights from the head of a MEI document."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from typing import Final

from stavewright.importing.tree import children, said

_AUTHORS: Final = ("composer", "creator", "lyricist", "librettist", "arranger", "author")
_STATEMENTS: Final = ("fileDesc/titleStmt", "workDesc/work/titleStmt", "workList/work")


def title_of(root: ET.Element) -> str | None:
    """The title of the file, else of the work."""
    for place in _STATEMENTS:
        text = said(root, f"meiHead/{place}/title")
        if text:
            return text
    return None


def credits_of(root: ET.Element) -> Iterator[str]:
    """Who wrote it: each once, the role in brackets unless it is the composer's."""
    seen: set[str] = set()
    for place in _STATEMENTS:
        for statement in root.findall(f"meiHead/{place}"):
            for role, name in _named(statement):
                if name and name not in seen:
                    seen.add(name)
                    yield name if role in ("composer", "creator") else f"{name} ({role})"


def _named(statement: ET.Element) -> Iterator[tuple[str, str]]:
    for tag, child in children(statement):
        if tag in _AUTHORS:
            yield tag, said(child)
        elif tag == "contributor" and child.get("role", "creator") in _AUTHORS:
            yield child.get("role", "creator"), said(child)
        elif tag == "respStmt":
            for _, person in children(child):
                if person.get("role") in _AUTHORS:
                    yield person.get("role", ""), said(person)


def sources_of(root: ET.Element) -> Iterator[str]:
    """What the file was taken from."""
    for each in root.findall("meiHead/fileDesc/sourceDesc/source/bibl"):
        text = said(each)
        if text:
            yield text


def rights_of(root: ET.Element) -> Iterator[str]:
    """What the file says of its use."""
    seen: set[str] = set()
    for each in root.findall("meiHead/fileDesc/pubStmt/availability"):
        text = said(each)
        if text and text not in seen:
            seen.add(text)
            yield text
