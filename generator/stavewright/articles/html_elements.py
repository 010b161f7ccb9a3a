"""The HTML that articles may hold where the site does not let all of it through.

Elements that mark text up and do nothing else, with the attributes that say something. None can
load, run, style, or send anything, and none can take the place of what the page itself needs: no
`id`, no `class`, no headings (theirs would have no anchor), no pictures and no relative links
(which Markdown has, and which are checked there). HTML Living Standard, section 4.
"""

from typing import Final

EVERYWHERE: Final = frozenset({"dir", "lang", "title"})
"""Attributes that every element may have."""

_NONE: Final[frozenset[str]] = frozenset()
_TEXT: Final = (
    "abbr b bdi bdo cite code del dfn em i ins kbd mark q rp rt ruby s samp small span strong sub "
    "sup u var"
)
_BLOCKS: Final = (
    "blockquote caption dd div dl dt figcaption figure li p pre summary table tbody tfoot thead tr "
    "ul"
)

ELEMENTS: Final[dict[str, frozenset[str]]] = {
    **dict.fromkeys(f"{_TEXT} {_BLOCKS} br hr wbr".split(), _NONE),
    "a": frozenset({"href"}),
    "col": frozenset({"span"}),
    "colgroup": frozenset({"span"}),
    "details": frozenset({"open"}),
    "li": frozenset({"value"}),
    "ol": frozenset({"reversed", "start"}),
    "td": frozenset({"colspan", "rowspan"}),
    "th": frozenset({"colspan", "rowspan", "scope"}),
    "time": frozenset({"datetime"}),
}
"""The elements, with the attributes that each may have besides."""

VOID: Final = frozenset({"br", "col", "hr", "wbr"})
"""Elements without an end tag (HTML Living Standard, 13.1.2)."""

SCHEMES: Final = frozenset({"http", "https", "mailto"})
"""What links may begin with, in HTML and in Markdown."""
