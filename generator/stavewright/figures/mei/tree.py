"""Building MEI and MusicXML element by element, and writing them out."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from fractions import Fraction
from typing import Final

_FORBIDDEN: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""What XML 1.0 (section 2.2) cannot hold, even escaped."""
_ESCAPES: Final = {
    "&": "&amp;",
    "<": "&lt;",
    ">": "&gt;",
    '"': "&quot;",
    "\r": "&#13;",
    "\n": "&#10;",
    "\t": "&#09;",
}
_SPECIAL: Final = re.compile('[&<>"\r\n\t]')
"""What an attribute holds only in other words."""


def add(
    parent: ET.Element, tag: str, attributes: Mapping[str, str | None] | None = None
) -> ET.Element:
    """Add a child; attributes that are None are left out."""
    if not attributes:
        return ET.SubElement(parent, tag)
    given = {name: plain(value) for name, value in attributes.items() if value is not None}
    return ET.SubElement(parent, tag, given)


def append_text(parent: ET.Element, text: str) -> None:
    """Add text after what the parent already holds."""
    text = plain(text)
    if len(parent):
        parent[-1].tail = (parent[-1].tail or "") + text
    else:
        parent.text = (parent.text or "") + text


def plain(text: str) -> str:
    """Text without the characters that no XML document can hold."""
    return text if text.isprintable() else _FORBIDDEN.sub("", text)


def written(root: ET.Element, *, indented: bool = False) -> str:
    """The element as text; with `indented` each child on a line of its own, a space further in.

    No name may belong to a namespace, and what is indented may not mix text and elements: for such
    trees this gives what `xml.etree` does, without its searches for namespaces.
    """
    out: list[str] = []
    _write(root, out, "\n" if indented else "")
    return "".join(out)


def _write(element: ET.Element, out: list[str], line: str) -> None:
    """Write an element that begins on the new line `line`, or "" where there are no lines."""
    tag, text = element.tag, element.text
    opening = tag
    for name, value in element.items():
        # Nearly all are letters and digits, which is seen faster than searched.
        safe = value if value.isalnum() else _SPECIAL.sub(_escape, value)
        opening += f' {name}="{safe}"'
    if not len(element):
        out.append(f"<{opening}>{_escaped(text)}</{tag}>" if text else f"<{opening} />")
        return
    out.append(f"<{opening}>{_escaped(text)}" if text else f"<{opening}>")
    inner = line and line + " "
    for child in element:
        if inner:
            out.append(inner)
        _write(child, out, inner)
        if child.tail:
            out.append(_escaped(child.tail))
    out.append(f"{line}</{tag}>")


def _escape(special: re.Match[str]) -> str:
    return _ESCAPES[special[0]]


def _escaped(text: str) -> str:
    """Text between tags, where quotes and breaks stand for themselves."""
    if "&" in text or "<" in text or ">" in text:
        return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return text


def decimal(number: Fraction) -> str:
    """A number as MEI writes it: up to five decimals, no trailing zeros."""
    return f"{float(number):.5f}".rstrip("0").rstrip(".")
