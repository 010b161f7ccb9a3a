"""HTML as a browser's parser sees it (html5lib, which follows the HTML Living Standard)."""

from typing import Any

import html5lib


def fragment(markup: str) -> Any:
    """The elements of a piece of HTML; fails where the parser finds an error in it."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    return parser.parseFragment(markup)


def skeleton(markup: str) -> list[tuple[str, dict[str, str], str]]:
    """Elements in order with their attributes and text, white space at its ends aside."""
    root = html5lib.parseFragment(markup, namespaceHTMLElements=False)
    return [
        (str(node.tag), dict(node.attrib), ((node.text or "") + "|" + (node.tail or "")).strip())
        for node in root.iter()
    ]


def elements(markup: str) -> list[tuple[str, dict[str, str]]]:
    """Every element that a browser would make of it, in order, with its attributes."""
    root = html5lib.parseFragment(markup, namespaceHTMLElements=False)
    return [
        (str(node.tag), dict(node.attrib))
        for node in root.iter()
        if isinstance(node.tag, str) and node is not root
    ]
