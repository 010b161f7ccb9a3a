"""MEI and MusicXML as text: elements, their attributes, and what has to be said in other words."""

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Final

_FORBIDDEN: Final = "\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff"
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
"""What stands for a character; the forbidden ones leave no trace."""
_IN_ATTRIBUTES: Final = re.compile(f'[&<>"\r\n\t{_FORBIDDEN}]')
_IN_TEXT: Final = re.compile(f"[&<>\n{_FORBIDDEN}]")

Attributes = Mapping[str, str | None]
"""By name, in the order they are written; those that are None are left out."""


def element(tag: str, attributes: str = "", inside: str = "") -> str:
    """An element; `attributes` and `inside` are markup already."""
    return f"<{tag}{attributes}>{inside}</{tag}>" if inside else f"<{tag}{attributes} />"


def attributes(given: Attributes) -> str:
    """The attributes of an element, each with a space before it."""
    text = ""
    for name, value in given.items():
        if value is not None:
            # Most are letters and digits, which is seen faster than searched.
            safe = value if value.isalnum() else _IN_ATTRIBUTES.sub(_escape, value)
            text += f' {name}="{safe}"'
    return text


def escaped(text: str) -> str:
    """Text as it stands between tags, all in one line."""
    return text if text.isalnum() else _IN_TEXT.sub(_escape, text)


def _escape(special: re.Match[str]) -> str:
    return _ESCAPES.get(special[0], "")


def decimal(number: Fraction) -> str:
    """A number as MEI writes it: up to five decimals, no trailing zeros."""
    return f"{float(number):.5f}".rstrip("0").rstrip(".")
