"""A drawing's name and description for those who do not see it.

In a page a drawing is an image with a name (`labelled`), and the wide and the narrow drawing of a
figure share one description (`described`). A drawing that is a file of its own carries both as the
title and the description that SVG has for it (`titled`).
"""

import hashlib
import re
from collections.abc import Sequence
from dataclasses import replace
from html import escape
from typing import Final

from stavewright.figures.figure import Drawing, SpokenText

_OPENING: Final = re.compile(r"<svg\b[^>]*>")
_LABELLED: Final = re.compile(r'<svg\b[^>]* role="img"[^>]*>')


def labelled(drawing: Drawing, line: str) -> Drawing:
    """Give an `<svg>` the role of an image and a name.

    Markup that is no `<svg>` (a table) is its own text and comes back as it is.
    """
    start = _OPENING.match(drawing.markup)
    if start is None:
        return drawing
    opening = f'{start[0][:-1]} role="img" aria-label="{escape(line)}">'
    return replace(drawing, markup=opening + drawing.markup[start.end() :])


def described(drawing: Drawing, name: str, bars: Sequence[str] = ()) -> Drawing:
    """Let a labelled drawing be described by the element with the id `name`.

    With `bars`, that element is made, and lies in this drawing; it may serve others as well, even
    where this one is not shown.
    """
    start = _LABELLED.match(drawing.markup)
    if start is None:
        return drawing
    opening = f'{start[0][:-1]} aria-describedby="{name}">'
    if bars:
        opening += f'<desc id="{name}">{escape(" ".join(bars), quote=False)}</desc>'
    return replace(drawing, markup=opening + drawing.markup[start.end() :])


def titled(drawing: Drawing, spoken: SpokenText) -> Drawing:
    """Give an `<svg>` the role of an image, with the spoken text as its title and description.

    Markup that is no `<svg>` (a table) is its own text and comes back as it is.
    """
    start = _OPENING.match(drawing.markup)
    if start is None:
        return drawing
    digest = hashlib.sha256((drawing.markup + "\n".join(spoken.bars)).encode()).hexdigest()[:10]
    title, description = f"sw-{digest}-title", f"sw-{digest}-desc"
    opening = start[0].removesuffix(">")
    about = f' aria-describedby="{description}"' if spoken.bars else ""
    head = f'{opening} role="img" aria-labelledby="{title}"{about}><title id="{title}">'
    head += f"{escape(spoken.line, quote=False)}</title>"
    if spoken.bars:
        text = escape(" ".join(spoken.bars), quote=False)
        head += f'<desc id="{description}">{text}</desc>'
    return replace(drawing, markup=head + drawing.markup[start.end() :])
