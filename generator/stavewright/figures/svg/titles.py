"""A drawing's name and description for those who do not see it."""

import hashlib
import re
from dataclasses import replace
from html import escape

from stavewright.figures.figure import Drawing, SpokenText

_OWN_IDS = re.compile(r"\bsw-([0-9a-f]{10})-")


def titled(drawing: Drawing, spoken: SpokenText) -> Drawing:
    """Give an `<svg>` the role of an image, with the spoken text as its title and description.

    Markup that is no `<svg>` (a table) is its own text and comes back as it is.
    """
    start = re.match(r"<svg\b[^>]*>", drawing.markup)
    if start is None:
        return drawing
    digest = hashlib.sha256((drawing.markup + "\n".join(spoken.bars)).encode()).hexdigest()[:10]
    title, description = f"sw-{digest}-title", f"sw-{digest}-desc"
    opening = start[0].removesuffix(">")
    described = f' aria-describedby="{description}"' if spoken.bars else ""
    head = f'{opening} role="img" aria-labelledby="{title}"{described}><title id="{title}">'
    head += f"{escape(spoken.line, quote=False)}</title>"
    if spoken.bars:
        text = escape(" ".join(spoken.bars), quote=False)
        head += f'<desc id="{description}">{text}</desc>'
    return replace(drawing, markup=head + drawing.markup[start.end() :])


def distinct(drawing: Drawing, number: int) -> Drawing:
    """Give the same drawing with ids of its own, for a page that shows it more than once."""
    markup = _OWN_IDS.sub(rf"sw-\1-{number}-", drawing.markup)
    return replace(drawing, markup=markup)
