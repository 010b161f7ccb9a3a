"""Reading elements of XML whose content nobody has checked."""

import math
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from fractions import Fraction

_LONGEST_NUMBER = 24


def said(element: ET.Element | None, tag: str = "") -> str:
    """The words of an element, or of its first child `tag`, in single spaces; empty without it."""
    found = element.find(tag) if element is not None and tag else element
    return "" if found is None else " ".join("".join(found.itertext()).split())


def number(text: str | None) -> Fraction | None:
    """A number written out, such as `12` or `-0.5`; None for anything else."""
    words = (text or "").strip()
    if not words or len(words) > _LONGEST_NUMBER or any(sign in words for sign in "/_eE"):
        return None
    try:
        value = float(words)
        return Fraction(words) if math.isfinite(value) else None
    except ValueError:
        return None


def whole(text: str | None) -> int | None:
    """A whole number; None for anything else."""
    value = number(text)
    return int(value) if value is not None and value.denominator == 1 else None


def children(element: ET.Element) -> Iterator[tuple[str, ET.Element]]:
    """The child elements with their names, without comments and the like."""
    for child in element:
        if isinstance(child.tag, str):
            yield child.tag, child
