"""Building MEI element by element."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from fractions import Fraction

_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""What XML 1.0 (section 2.2) cannot hold, even escaped."""


def add(
    parent: ET.Element, tag: str, attributes: Mapping[str, str | None] | None = None
) -> ET.Element:
    """Add a child; attributes that are None are left out."""
    given = {name: value for name, value in (attributes or {}).items() if value is not None}
    return ET.SubElement(parent, tag, {name: plain(value) for name, value in given.items()})


def append_text(parent: ET.Element, text: str) -> None:
    """Add text after what the parent already holds."""
    text = plain(text)
    if len(parent):
        parent[-1].tail = (parent[-1].tail or "") + text
    else:
        parent.text = (parent.text or "") + text


def plain(text: str) -> str:
    """Text without the characters that no XML document can hold."""
    return _FORBIDDEN.sub("", text)


def decimal(number: Fraction) -> str:
    """A number as MEI writes it: up to five decimals, no trailing zeros."""
    return f"{float(number):.5f}".rstrip("0").rstrip(".")
