"""MusicXML as text: each child on a line of its own, a space further in.

Elements begin with the break before their line, so that what stands side by side is joined as it
is. No text has a break in it (`escaped`), so that a parent moves all it holds by moving its lines.
"""

from stavewright.figures.mei.markup import escaped


def element(tag: str, attributes: str = "", inside: str = "") -> str:
    """An element that holds others, or nothing."""
    if not inside:
        return f"\n<{tag}{attributes} />"
    moved = inside.replace("\n", "\n ")
    return f"\n<{tag}{attributes}>{moved}\n</{tag}>"


def leaf(tag: str, words: str, attributes: str = "") -> str:
    """An element that holds words."""
    text = escaped(words)
    return f"\n<{tag}{attributes}>{text}</{tag}>" if text else f"\n<{tag}{attributes} />"
